/**
 * How quick each sensor of the rig is, measured: test gas comes all at once, and its reading is watched.
 *
 * t50 and t90 as IEC 60079-29-1 defines them (second hand): the apparatus warmed up, from the change between
 * clean air and test gas at the inlet until the response has come to so much of the stabilised signal. The
 * sensor is the bench's own, as good as new, and each moment is the first whole ms.
 */

import { applyStep, World } from '../../../sim/world/index.ts';
import type { ModbusSensor, Rig } from '../../rig/index.ts';
import { type Ms, ms } from '../../units/index.ts';
import { firstBetween } from './first-between.ts';

export interface StepResponse {
  readonly id: string;
  readonly t50Ms: number;
  readonly t90Ms: number;
}

const STEP_PERCENT_LFL = 50;
/** Longer than any sensor takes to settle to the last digit: the lag of a t90 of a month. */
const SETTLED_MS = 2 ** 40;

/** Of the Modbus sensors: a contact shows no reading to watch. */
export function stepResponses(rig: Rig): readonly StepResponse[] {
  const known = new Map<string, Omit<StepResponse, 'id'>>();
  return rig.sensors.flatMap((sensor) => {
    if (sensor.kind === 'contact') return [];
    const { responseT90Ms, deadTimeMs, selfTestMs, codec } = sensor;
    const like = `${responseT90Ms} ${deadTimeMs} ${selfTestMs} ${codec.profile.name}`;
    const measured = known.get(like) ?? measure(rig, sensor);
    known.set(like, measured);
    return [{ id: sensor.id, ...measured }];
  });
}

function measure(rig: Rig, sensor: ModbusSensor): Omit<StepResponse, 'id'> {
  const asNew = { ...sensor, noisePercentLfl: 0, driftPerYear: null, ageMs: null, outOfBox: false };
  const alone = { ...rig, sensors: [asNew] };
  const readingAfter = (afterMs: number): number => playedTo(alone, asNew, ms(afterMs));
  const stabilised = readingAfter(SETTLED_MS);
  const firstAt = (share: number): number =>
    firstMs((afterMs) => readingAfter(afterMs) >= share * stabilised);
  return { t50Ms: firstAt(0.5), t90Ms: firstAt(0.9) };
}

/** The reading so long after the step, %LFL; played from the beginning, because a world never goes back. */
function playedTo(rig: Rig, sensor: ModbusSensor, afterMs: Ms): number {
  const world = new World(rig, {
    seed: 1,
    startMs: ms(0),
    serviceDaysLeft: () => 1,
    observe: () => undefined,
  });
  const warmMs = Math.ceil(sensor.selfTestMs);
  const step = { sensor: sensor.id, percentLfl: STEP_PERCENT_LFL, lastsMs: null };
  applyStep(world, { kind: 'testGas', ...step }, ms(warmMs));
  world.advance(ms(warmMs + afterMs));
  const [unit] = world.units;
  return unit === undefined ? 0 : (world.valuesOf(unit).gasPercentLfl ?? 0);
}

/** The first whole ms at which it is so; it must be so at last, and stay. */
function firstMs(isSo: (afterMs: number) => boolean): number {
  let so = 1;
  while (!isSo(so)) so *= 2;
  return firstBetween(-1, so, isSo);
}
