/**
 * What the bench itself computes for the case: the whole charge of one circuit leaks into the cabinet in
 * 4 min, with the fan off all the while, and with its air moving from the start.
 *
 * The same air and the same lag as on the bench. Each moment that is looked for lies between two samples and
 * is narrowed down to the millisecond by playing the leak again up to there.
 */

import { Atmosphere } from '../../../sim/world/atmosphere.ts';
import { PLACES, type Place, type Rig, type Sensor, UNTOLD } from '../../rig/index.ts';
import { type Ms, ms } from '../../units/index.ts';
import { firstBetween } from './first-between.ts';

export interface Sample {
  readonly atMs: number;
  readonly value: number;
}

export interface PlaceCourse {
  readonly place: Place;
  /** True gas, %LFL. */
  readonly truth: readonly Sample[];
  readonly peak: Sample;
}

export interface SensorCourse {
  readonly id: string;
  readonly place: Place;
  /** What its element shows, %LFL. */
  readonly reading: readonly Sample[];
  /** From the start of the leak to 25 %LFL in its reading; null where it never comes to that. */
  readonly quarterAtMs: number | null;
}

export interface BenchCourse {
  readonly fan: 'off' | 'on';
  readonly places: readonly PlaceCourse[];
  readonly sensors: readonly SensorCourse[];
  /** From the start of the leak until gas everywhere stays below clearBelow; null: not within a day. */
  readonly clearAtMs: number | null;
}

export const LEAK_MS = 240_000;
const DAY_MS = 86_400_000;
const QUARTER = 25;

/** Finer while things move: step and until when. */
const GRID: readonly (readonly [stepMs: number, untilMs: number])[] = [
  [1000, 900_000],
  [10_000, 10_800_000],
  [60_000, DAY_MS],
];

export function benchCourses(rig: Rig): readonly BenchCourse[] {
  const probed = withProbes(rig);
  return [courseOf(probed, rig, 'off'), courseOf(probed, rig, 'on')];
}

/** A probe at each place behind the sensors of the rig, so that places without a sensor are told too. */
function withProbes(rig: Rig): Rig {
  const probes = PLACES.map(
    (at): Sensor => ({
      kind: 'contact',
      id: at,
      at,
      responseT90Ms: ms(1000),
      deadTimeMs: ms(0),
      input: 8,
      contact: 'opens-on-gas',
      ...UNTOLD,
    }),
  );
  return { ...rig, sensors: [...rig.sensors, ...probes] };
}

function courseOf(probed: Rig, rig: Rig, fan: BenchCourse['fan']): BenchCourse {
  const samples = sampled(probed, fan);
  const column = (index: number, what: 'truth' | 'shown'): readonly Sample[] =>
    samples.map(({ atMs, felt }) => ({ atMs, value: felt[index]?.[what] ?? 0 }));
  const first = rig.sensors.length;
  const places = PLACES.map((place, index): PlaceCourse => {
    const truth = column(first + index, 'truth');
    return { place, truth, peak: peakOf(truth) };
  });
  const sensors = rig.sensors.map(({ id, at }, index): SensorCourse => {
    const reading = column(index, 'shown');
    const after = reading.findIndex(({ value }) => value >= QUARTER);
    const quarterAtMs = narrowed(reading, after, (atMs) => {
      return (playedTo(probed, fan, atMs)[index]?.shown ?? 0) >= QUARTER;
    });
    return { id, place: at, reading, quarterAtMs };
  });
  return { fan, places, sensors, clearAtMs: clearAt(probed, fan, places) };
}

/** A gas that creeps up to a level for hours is there when it shows four digits of it. */
const CREEP = 1e-4;

function peakOf(truth: readonly Sample[]): Sample {
  const value = Math.max(...truth.map((one) => one.value));
  const reached = truth.find((one) => one.value >= (1 - CREEP) * value);
  return { value, atMs: reached?.atMs ?? 0 };
}

function clearAt(probed: Rig, fan: BenchCourse['fan'], places: readonly PlaceCourse[]): number | null {
  const { clearBelow } = probed.policy;
  const isClear = (values: readonly number[]): boolean => values.every((value) => value < clearBelow);
  const times = places[0]?.truth ?? [];
  const last = times.findLastIndex((_, at) => !isClear(places.map(({ truth }) => truth[at]?.value ?? 0)));
  // Never above it: clear from the start.
  if (last < 0) return 0;
  if (last === times.length - 1) return null;
  return narrowed(times, last + 1, (atMs) =>
    isClear(
      playedTo(probed, fan, atMs)
        .slice(-PLACES.length)
        .map(({ truth }) => truth),
    ),
  );
}

/** The first whole ms at which it is so, between the sample before `after` and that one; null without one. */
function narrowed(samples: readonly Sample[], after: number, isSo: (atMs: number) => boolean): number | null {
  const found = samples[after];
  if (found === undefined) return null;
  return firstBetween(samples[after - 1]?.atMs ?? found.atMs - 1, found.atMs, isSo);
}

interface Felt {
  readonly truth: number;
  readonly shown: number;
}

function sampled(rig: Rig, fan: BenchCourse['fan']): readonly { atMs: number; felt: readonly Felt[] }[] {
  const air = leaking(rig, fan);
  const samples: { atMs: number; felt: readonly Felt[] }[] = [];
  let atMs = 0;
  for (const [stepMs, untilMs] of GRID) {
    for (; atMs <= untilMs; atMs += stepMs) {
      if (atMs === LEAK_MS) air.setRelease('cabinet', 0, ms(atMs));
      samples.push({ atMs, felt: feltAt(air, rig, ms(atMs)) });
    }
  }
  return samples;
}

/** What every sensor and probe feels at a moment, the leak played from its beginning. */
function playedTo(rig: Rig, fan: BenchCourse['fan'], atMs: number): readonly Felt[] {
  const air = leaking(rig, fan);
  if (atMs >= LEAK_MS) air.setRelease('cabinet', 0, ms(LEAK_MS));
  return feltAt(air, rig, ms(atMs));
}

function leaking(rig: Rig, fan: BenchCourse['fan']): Atmosphere {
  const air = new Atmosphere(rig, ms(0));
  air.setBlowing(fan === 'on', ms(0));
  air.setRelease('cabinet', rig.chargeKg / (LEAK_MS / 1000), ms(0));
  return air;
}

function feltAt(air: Atmosphere, rig: Rig, now: Ms): readonly Felt[] {
  return rig.sensors.map((_, index) => ({ truth: air.trueGas(index, now), shown: air.sensed(index, now) }));
}
