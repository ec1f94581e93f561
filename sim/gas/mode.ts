/**
 * The air of a rig as a linear system, one for each way it can behave: its modes.
 *
 * Well-mixed zones (textbook), gas in kg/m3: zone i of volume Vi, a release Pi into it, and flows qji of air
 * from j into it, as much in as out:
 *
 *     Vi Ci' = Pi + sum of qji Cj - sum of qij Ci
 *
 * No concentration exceeds pure vapour: a zone that reaches it is full and stays there, and what it cannot
 * take goes on into the next zone, from the last one outdoors. So for a full zone, whatever comes to it comes
 * to the next in its stead, and whatever leaves it leaves the next: each mode is linear, and the gas gone
 * outdoors with it. A release is constant or falls, Pi' = -k Pi.
 */

import { entryOf } from './expm.ts';
import { type AirPlan, type Flow, flowsOf, type Zone, zonesOf } from './flows.ts';
import { type Row, type Shape, type Steps, stepsOf } from './step.ts';

/** What decides on a mode beside the full zones. */
export interface Conditions {
  /** Whether the fan's air moves, not whether the fan is commanded. */
  readonly fanBlowing: boolean;
  /** How fast every release falls, 1/s; zero where they are constant. */
  readonly fallsPerS: number;
}

export interface Mode {
  readonly zones: readonly Zone[];
  readonly m3: readonly number[];
  /** Which zones hold nothing but vapour, by their number. */
  readonly full: readonly boolean[];
  readonly fallsPerS: number;
  /** Rate of change of each zone. */
  readonly rows: readonly Row[];
  /** Steps whose rider is the gas gone outdoors; remembered for powers of two only. */
  readonly outdoors: Steps;
  /** Steps whose last rider is a sensor, by its zone and time constants. */
  readonly sensors: Map<string, Steps>;
}

/** All modes of one plan with their remembered steps: made once, shared by all runs on that plan. */
export interface AirModel {
  readonly plan: AirPlan;
  readonly zones: readonly Zone[];
  readonly m3: readonly number[];
  /** As the air comes into them. */
  readonly modes: Map<string, Mode>;
}

/** What of a full zone, and of the full zones that spill into it, comes in from elsewhere. */
export interface Inflow {
  /** All air that comes in, m3/s. */
  readonly m3PerS: number;
  /** The share of it that comes from each zone; the rest is outside air. */
  readonly shares: readonly number[];
  /** The zones whose releases come in. */
  readonly releases: readonly number[];
}

/** Kinds of sensor remembered in a mode: a rig has a few, a sensor made slow by a fault adds one. */
const SENSOR_KINDS_MAX = 16;
/** Eight ways of three zones to be full, with and without the fan, and a few releases that fall. */
const MODES_MAX = 64;
const MS_PER_S = 1000;

/** Riders of the air itself: the gas gone outdoors. */
export function airShape(zones: readonly Zone[]): Shape {
  return { zones: zones.length, riders: 1 };
}

/** Throws RangeError on a plan that no rig can have. */
export function airModel(plan: AirPlan): AirModel {
  const { names, m3 } = zonesOf(plan);
  return { plan, zones: names, m3, modes: new Map() };
}

/** A zone's number; RangeError where this air has no such zone. */
export function numberOf(zones: readonly Zone[], zone: Zone): number {
  const number = zones.indexOf(zone);
  if (number < 0) throw new RangeError(`numberOf: no ${zone} among ${zones.join(', ')}`);
  return number;
}

export function modeOf(model: AirModel, conditions: Conditions, full: readonly boolean[]): Mode {
  const { fanBlowing, fallsPerS } = conditions;
  const key = `${fanBlowing} ${fallsPerS} ${full.join(' ')}`;
  const known = model.modes.get(key);
  if (known !== undefined) return known;
  const fluxes = fluxesOf(flowsOf(model.plan, fanBlowing), full);
  const rows = model.m3.map((m3, zone) => perVolume(entryOf(fluxes, zone), full[zone] === true, m3));
  const outdoors = fluxes.slice(-1).map((flux) => ({ ...flux, byRider: [0] }));
  const riding = rows.map((row) => ({ ...row, byRider: [0] }));
  const made: Mode = {
    zones: model.zones,
    m3: model.m3,
    full,
    fallsPerS,
    rows,
    outdoors: stepsOf(riding, outdoors, fallsPerS),
    sensors: new Map(),
  };
  if (model.modes.size >= MODES_MAX) model.modes.clear();
  model.modes.set(key, made);
  return made;
}

/** What comes into zone number `zone`, were it full along with those of `full`. */
export function inflowInto(
  model: AirModel,
  fanBlowing: boolean,
  full: readonly boolean[],
  zone: number,
): Inflow {
  let first = zone;
  while (full[first - 1] === true) first -= 1;
  const releases = Array.from({ length: zone - first + 1 }, (_, above) => first + above);
  const entering = flowsOf(model.plan, fanBlowing).filter(
    ({ from, to, m3PerS }) => m3PerS > 0 && releases.includes(to) && !releases.includes(from),
  );
  const m3PerS = entering.reduce((sum, flow) => sum + flow.m3PerS, 0);
  const shares = model.zones.map((_, from) =>
    entering.filter((flow) => flow.from === from).reduce((sum, flow) => sum + flow.m3PerS / m3PerS, 0),
  );
  return { m3PerS, shares, releases };
}

/**
 * Steps of a sensor with this time constant in a zone of this mode, whose place is itself behind by
 * shelterTauMs (0: it is not). RangeError unless tau is positive, and the other not negative.
 */
export function sensorSteps(mode: Mode, zone: Zone, tauMs: number, shelterTauMs = 0): Steps {
  if (!(tauMs > 0 && shelterTauMs >= 0)) {
    throw new RangeError(`sensorSteps: time constants of ${tauMs} and ${shelterTauMs} ms`);
  }
  const key = `${zone} ${tauMs} ${shelterTauMs}`;
  const known = mode.sensors.get(key);
  if (known !== undefined) return known;
  const number = numberOf(mode.zones, zone);
  const perS = MS_PER_S / tauMs;
  const none = mode.zones.map(() => 0);
  const following = (ratePerS: number): Pick<Row, 'byZone' | 'byRelease'> => ({
    byZone: none.with(number, ratePerS),
    byRelease: none,
  });
  const shelterPerS = MS_PER_S / shelterTauMs;
  const riders: readonly Row[] =
    shelterTauMs === 0
      ? [{ ...following(perS), byRider: [-perS] }]
      : [
          { ...following(shelterPerS), byRider: [-shelterPerS, 0] },
          { byZone: none, byRelease: none, byRider: [perS, -perS] },
        ];
  const air = mode.rows.map((row) => ({ ...row, byRider: riders.map(() => 0) }));
  const made = stepsOf(air, riders, mode.fallsPerS);
  if (mode.sensors.size >= SENSOR_KINDS_MAX) mode.sensors.clear();
  mode.sensors.set(key, made);
  return made;
}

interface Flux {
  readonly byZone: number[];
  readonly byRelease: number[];
}

/** What comes to each zone, kg/s, and last to outdoors. */
function fluxesOf(flows: readonly Flow[], full: readonly boolean[]): readonly Flux[] {
  const blank = (): Flux => ({ byZone: full.map(() => 0), byRelease: full.map(() => 0) });
  const fluxes = [...full.map(blank), blank()];
  const add = (to: number, part: keyof Flux, by: number, rate: number): void => {
    const sums = entryOf(fluxes, spilling(full, to))[part];
    sums[by] = entryOf(sums, by) + rate;
  };
  for (const { from, to, m3PerS } of flows) {
    // Outside air is clean; and what a zone gives to the one that spills over into it, it gets back.
    if (from === full.length || spilling(full, from) === spilling(full, to)) continue;
    add(from, 'byZone', from, -m3PerS);
    add(to, 'byZone', from, m3PerS);
  }
  for (const zone of full.keys()) add(zone, 'byRelease', zone, 1);
  return fluxes;
}

/** Where gas ends up that comes to a zone. */
function spilling(full: readonly boolean[], zone: number): number {
  return full[zone] === true ? spilling(full, zone + 1) : zone;
}

function perVolume({ byZone, byRelease }: Flux, full: boolean, m3: number): Row {
  const share = (rates: readonly number[]): readonly number[] => rates.map((rate) => (full ? 0 : rate / m3));
  return { byZone: share(byZone), byRelease: share(byRelease), byRider: [] };
}
