/**
 * Another gas at the element, which it takes for refrigerant: it comes and goes as any gas does, through the
 * sensor's own dead time and lag.
 */
import type { ModbusSensor } from '../../src/rig/index.ts';
import { timeConstantMs } from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';
import { arrivedBy, happen, type Late, startLate } from './dead-time.ts';

/** First order, y' = (u - y) / tau; exact between two changes. */
interface Follower {
  /** %LFL, as of atMs. */
  shown: number;
  toward: number;
  tauMs: number;
  atMs: Ms;
}

export type OtherGas = Late<Follower>;

/** None yet. */
export function noOtherGas(plan: ModbusSensor, now: Ms): OtherGas {
  const follower: Follower = { shown: 0, toward: 0, tauMs: timeConstantMs(plan), atMs: now };
  return startLate(follower, plan.deadTimeMs, now);
}

/** From now on there is so much of it, and the element is so quick. */
export function changeOtherGas(gas: OtherGas, percentLfl: number, tauMs: number, now: Ms): void {
  happen(gas, now, (follower) => {
    follower.shown = shownAt(follower, now);
    follower.toward = percentLfl;
    follower.tauMs = tauMs;
    follower.atMs = now;
  });
}

/** What the element takes it for, %LFL. */
export function otherGasShown(gas: OtherGas, now: Ms): number {
  const shownMs = arrivedBy(gas, now);
  return shownAt(gas.element, shownMs);
}

function shownAt({ shown, toward, tauMs, atMs }: Follower, now: Ms): number {
  return toward + (shown - toward) * Math.exp((atMs - now) / tauMs);
}
