/**
 * How long the world stays as it is: until then every device answers every read as it does now, but for the
 * counters of the sensors, whoever asks how often.
 */
import { readingOf } from '../device/index.ts';
import { blowsFromMs, isWatchdogExpired } from '../equipment/index.ts';
import type { FaultKind } from '../faults/index.ts';
import type { Unit } from './unit.ts';
import { contactsOf, isClosedAt } from './wired.ts';
import type { World } from './world.ts';

/** Faults under which, without gas, nothing changes with time and nothing is drawn. */
const STEADY: ReadonlySet<FaultKind> = new Set<FaultKind>([
  ...(['self-failed', 'stuck', 'stuck-state', 'blind', 'offset', 'gain', 'slow', 'saturated'] as const),
  ...(['worn-out', 'poisoned', 'misplaced', 'swapped', 'wire-open', 'wire-short', 'fan-dead'] as const),
  ...(['airflow-switch-stuck', 'compressor-welded', 'output-stuck'] as const),
]);

const NOT_CALM = Number.NEGATIVE_INFINITY;
const MS_PER_DAY = 86_400_000;

/** -Infinity while something goes on, whose end is not worth working out. */
export function calmUntilMs(world: World): number {
  const { rig, nowMs, io, plant, atmosphere, timers } = world;
  const isPlain = rig.lines.every(({ pace }) => pace === null) && hasSteadyFaults(world);
  if (!isPlain || !world.powered || isWatchdogExpired(io, nowMs)) return NOT_CALM;
  const most = atmosphere.mostLeft(nowMs);
  if (most === null || !world.units.every((unit) => isStill(world, unit, most))) return NOT_CALM;
  if (!areContactsStill(world, most)) return NOT_CALM;
  const selfTestsEndMs = world.units
    .map(({ device }) => device.testingSinceMs + device.plan.selfTestMs)
    .filter((endMs) => endMs > nowMs);
  // A sensor ages by whole days.
  const nextDayMs = (Math.floor(nowMs / MS_PER_DAY) + 1) * MS_PER_DAY;
  const next = [timers.nextMs(), blowsFromMs(plant, nowMs), atmosphere.nextCrossingMs(), nextDayMs];
  return Math.min(...next, ...selfTestsEndMs);
}

function hasSteadyFaults({ faults }: World): boolean {
  for (const some of faults.values()) {
    if (!some.every(({ kind }) => STEADY.has(kind))) return false;
  }
  return true;
}

/** Whether it reads the same with all the gas that is left as with none, and draws nothing to do so. */
function isStill({ nowMs }: World, { device, facts }: Unit, most: number): boolean {
  if (device.plan.noisePercentLfl > 0 || device.otherGas !== null) return false;
  // One that comes round reads more and more of it, in the end as one that was never poisoned.
  const comeRound = device.poison === null ? device : { ...device, poison: null };
  return readingOf(comeRound, most, facts, nowMs, 0) === readingOf(device, 0, facts, nowMs, 0);
}

function areContactsStill(world: World, most: number): boolean {
  return contactsOf(world.rig).every(
    ([sensor]) => isClosedAt(world, sensor, most) === isClosedAt(world, sensor, 0),
  );
}
