/**
 * The air of the rig and what every sensor feels of it, in %LFL.
 *
 * Owns the course of the air and one lag a sensor. Whoever changes an input comes through here, so that
 * every lag follows at the same moment, and every crossing of a told level is found anew.
 */
import { percentLflOf } from '../../src/refrigerant/index.ts';
import { type Place, type Rig, type Sensor, timeConstantMs } from '../../src/rig/index.ts';
import { kgPerM3, type Ms, ms, type PercentLfl } from '../../src/units/index.ts';
import { arrivedBy, happen, type Late, startLate } from '../device/index.ts';
import {
  type AirCourse,
  type AirInputs,
  airModel,
  changeAir,
  concentrationAt,
  expose,
  firstCrossing,
  followAir,
  inputsAt,
  type Lag,
  massesAt,
  RELEASE_INTO,
  readLag,
  setTau,
  startAir,
  startLag,
  type Zone,
} from '../gas/index.ts';
import { airPlanOf, zoneOf } from './air-plan.ts';
import { bracketOf, levelsOf } from './levels.ts';
import type { Observe } from './observation.ts';

/** How far ahead crossings are looked for; further than any change of inputs is worth waiting for. */
const LOOK_AHEAD_MS = 86_400_000;

/** Of the pocket of air around a sheltered sensor: a choice of ours, no source. */
const SHELTER_TAU_MS = ms(20_000);

const NO_RELEASE = { cabinetKgPerS: 0, roomKgPerS: 0, lowKgPerS: 0, highKgPerS: 0 };

interface Felt {
  readonly id: string;
  /** Behind by the dead time: changed and read through `happen` and `arrivedBy` alone. */
  readonly late: Late<Lag>;
  /** As last set, whether the lag knows of it already or not. */
  tauMs: Ms;
  zone: Zone;
  /** Gas held at it, %LFL; null in the air. */
  held: PercentLfl | null;
}

interface Watch {
  readonly zone: Zone;
  nextMs: number;
}

export class Atmosphere {
  readonly #rig: Rig;
  readonly #levels: readonly number[];
  readonly #felt: readonly Felt[];
  readonly #watches: readonly Watch[];
  #course: AirCourse;
  #releasesAt: Place | null = null;

  constructor(rig: Rig, startMs: Ms) {
    this.#rig = rig;
    const model = airModel(airPlanOf(rig));
    this.#levels = levelsOf(rig.policy, this.#percent(rig.refrigerant.vapourKgPerM3));
    this.#course = startAir(model, { fanBlowing: false, cabinetKgPerS: 0, roomKgPerS: 0 }, startMs);
    this.#felt = rig.sensors.map((sensor) => {
      const zone = this.#zoneOf(sensor.at);
      const tauMs = timeConstantMs(sensor);
      const start = {
        tauMs,
        exposure: { zone, hoseKgPerM3: null },
        response: kgPerM3(0),
        ...shelterOf(sensor),
      };
      const late = startLate(startLag(this.#course, start, startMs), sensor.deadTimeMs, startMs);
      return { id: sensor.id, zone, held: null, late, tauMs };
    });
    this.#watches = model.zones.map((zone) => ({ zone, nextMs: Number.POSITIVE_INFINITY }));
  }

  /** What a sensor's element shows, after its dead time and its lag. */
  sensed(sensor: number, now: Ms): PercentLfl {
    const { late } = this.#at(sensor);
    const shownMs = arrivedBy(late, now);
    return this.#percent(readLag(late.element, shownMs));
  }

  /** Gas at a sensor before its lag: the truth that it ought to report. */
  trueGas(sensor: number, now: Ms): PercentLfl {
    const felt = this.#at(sensor);
    return felt.held ?? this.#gasIn(felt.zone, now);
  }

  /**
   * The most that any zone holds or any sensor feels; null while gas comes in, is held at a sensor, or some
   * change has not come through to one. Without a source nothing ever rises above it.
   */
  mostLeft(now: Ms): PercentLfl | null {
    if (this.#releasesAt !== null) return null;
    let most = 0;
    for (const { held, late } of this.#felt) {
      readLag(late.element, arrivedBy(late, now));
      if (held !== null || late.waiting.length > 0) return null;
      for (const part of late.element.state) most = Math.max(most, part);
    }
    return this.#percent(most);
  }

  testGas(sensor: number): PercentLfl | null {
    return this.#at(sensor).held;
  }

  /** A room of two layers as their mean: what is in each, the places in it tell. */
  zones(now: Ms): { readonly cabinet: PercentLfl; readonly room: PercentLfl } {
    const { plan, zones } = this.#course.model;
    const room = zones.includes('room')
      ? this.#gasIn('room', now)
      : this.#percent(massesAt(this.#course, now).roomKg / plan.roomM3);
    return { cabinet: this.#gasIn('cabinet', now), room };
  }

  /** What anybody may measure there. */
  gasAt(place: Place, now: Ms): PercentLfl {
    return this.#gasIn(this.#zoneOf(place), now);
  }

  get releasesAt(): Place | null {
    return this.#releasesAt;
  }

  releaseKgPerS(now: Ms): number {
    const inputs = inputsAt(this.#course, now);
    return Object.values(RELEASE_INTO).reduce((sum, key) => sum + inputs[key], 0);
  }

  /** Of the charge of one circuit: a leak empties the circuit it is in, no other. */
  chargeLeftKg(now: Ms): number {
    return Math.max(0, this.#rig.chargeKg - massesAt(this.#course, now).releasedKg);
  }

  /** One release at a time; a new one takes the place of the one before. It may fall by itself. */
  setRelease(at: Place, rateKgPerS: number, now: Ms, fallsPerS = 0): void {
    this.#releasesAt = rateKgPerS > 0 ? at : null;
    this.#change({ ...NO_RELEASE, [RELEASE_INTO[this.#zoneOf(at)]]: rateKgPerS, fallsPerS }, now);
  }

  setBlowing(fanBlowing: boolean, now: Ms): void {
    if (fanBlowing !== this.#course.inputs.fanBlowing) this.#change({ fanBlowing }, now);
  }

  holdTestGas(sensor: number, level: PercentLfl | null, now: Ms, observe: Observe): void {
    const felt = this.#at(sensor);
    felt.held = level;
    this.#expose(felt, now);
    this.#tell(sensor, now, observe);
  }

  /** Where a sensor is, and how quick: both change under faults. */
  mount(sensor: number, place: Place, t90Ms: number, now: Ms, observe: Observe): void {
    const felt = this.#at(sensor);
    const { deadTimeMs } = felt.late;
    const tauMs = timeConstantMs({ responseT90Ms: ms(t90Ms), deadTimeMs });
    if (felt.tauMs !== tauMs) {
      felt.tauMs = tauMs;
      happen(felt.late, now, (lag) => {
        setTau(lag, tauMs, now);
      });
    }
    if (felt.zone === this.#zoneOf(place)) return;
    felt.zone = this.#zoneOf(place);
    this.#expose(felt, now);
    this.#tell(sensor, now, observe);
  }

  /** When true gas somewhere next crosses a told level; Infinity where it will not. */
  nextCrossingMs(): number {
    let nextMs = Number.POSITIVE_INFINITY;
    for (const watch of this.#watches) nextMs = Math.min(nextMs, watch.nextMs);
    return nextMs;
  }

  tellCrossings(now: Ms, observe: Observe): void {
    for (const watch of this.#watches) {
      if (watch.nextMs > now) continue;
      this.#tellZone(watch.zone, now, observe);
      this.#look(watch, now);
    }
  }

  /** True gas at every sensor, as a record begins. */
  tellAll(now: Ms, observe: Observe): void {
    for (const { zone } of this.#watches) this.#tellZone(zone, now, observe);
  }

  #tellZone(zone: Zone, now: Ms, observe: Observe): void {
    this.#felt.forEach((felt, sensor) => {
      if (felt.zone === zone && felt.held === null) this.#tell(sensor, now, observe);
    });
  }

  #tell(sensor: number, now: Ms, observe: Observe): void {
    const { id } = this.#at(sensor);
    observe({ kind: 'gas', atMs: now, sensor: id, percentLfl: this.trueGas(sensor, now) });
  }

  #change(change: Partial<AirInputs>, now: Ms): void {
    this.#course = changeAir(this.#course, { ...inputsAt(this.#course, now), ...change }, now);
    const course = this.#course;
    for (const { late } of this.#felt)
      happen(late, now, (lag) => {
        followAir(lag, course);
      });
    for (const watch of this.#watches) this.#look(watch, now);
  }

  #look(watch: Watch, now: Ms): void {
    const [lowest, highest] = bracketOf(this.#levels, this.#gasIn(watch.zone, now));
    const window = { from: now, to: ms(now + LOOK_AHEAD_MS) };
    const crossing = (level: number, direction: 'up' | 'down'): number =>
      firstCrossing(this.#course, watch.zone, this.#kgPerM3(level), direction, window) ??
      Number.POSITIVE_INFINITY;
    const upMs = Number.isFinite(highest) ? crossing(highest, 'up') : Number.POSITIVE_INFINITY;
    const downMs = lowest > 0 ? crossing(lowest, 'down') : Number.POSITIVE_INFINITY;
    watch.nextMs = Math.min(upMs, downMs);
  }

  #expose(felt: Felt, now: Ms): void {
    const hoseKgPerM3 = felt.held === null ? null : this.#kgPerM3(felt.held);
    const exposure = { zone: felt.zone, hoseKgPerM3 };
    happen(felt.late, now, (lag) => {
      expose(lag, exposure, now);
    });
  }

  #at(sensor: number): Felt {
    const felt = this.#felt[sensor];
    if (felt === undefined) throw new RangeError(`no sensor ${sensor}`);
    return felt;
  }

  #zoneOf(place: Place): Zone {
    return zoneOf(place, this.#rig);
  }

  #gasIn(zone: Zone, now: Ms): PercentLfl {
    return this.#percent(concentrationAt(this.#course, zone, now));
  }

  #percent(concentration: number): PercentLfl {
    return percentLflOf(concentration, this.#rig.refrigerant);
  }

  /** Rounding must not carry a level of pure vapour past it. */
  #kgPerM3(level: number): number {
    const { lflKgPerM3, vapourKgPerM3 } = this.#rig.refrigerant;
    return Math.min((level / 100) * lflKgPerM3, vapourKgPerM3);
  }
}

function shelterOf({ exposure }: Sensor): { readonly shelterTauMs?: Ms } {
  return exposure === 'sheltered' ? { shelterTauMs: SHELTER_TAU_MS } : {};
}
