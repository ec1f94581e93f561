/**
 * How a release goes on: one outflow after another, each steady or falling exponentially.
 *
 * What empties by itself falls with what is left of it, m' = -k m (textbook), so that its rate halves
 * again and again; it is taken to be over when toKg is left.
 */
import { type Ms, ms } from '../../src/units/index.ts';
import { beginRelease, type Outflow, type Release } from './release.ts';

/** A steady release, or one that, once no more than fromKg is left, falls with what is left. */
export type Emptying = Release | Fall;

export interface Fall {
  readonly rateKgPerS: number;
  /** How much of the charge takes part; null: all of it. */
  readonly ofKg: number | null;
  readonly fromKg: number;
  readonly toKg: number;
}

/**
 * A compressor that runs as pump-down takes refrigerant away from the leak: from a moment on a share of the
 * rate comes out that would have come out without it, for as long as it would have.
 */
export interface PumpDown {
  readonly afterMs: number;
  readonly share: number;
}

const MS_PER_S = 1000;
/** After twenty half-lives a millionth is left. */
const HALVINGS = 20;

/** The release of so many kg, half of what is left in each half-life. */
export function emptyingBy(kg: number, halfLifeMs: number): Fall {
  const rateKgPerS = (kg * Math.LN2 * MS_PER_S) / halfLifeMs;
  return { rateKgPerS, ofKg: kg, fromKg: kg, toKg: kg * 2 ** -HALVINGS };
}

/** In order of time, each where the one before ends; none where nothing comes out. */
export function outflowsOf(
  emptying: Emptying,
  chargeLeftKg: number,
  now: Ms,
  pumpDown?: PumpDown,
): readonly Outflow[] {
  const outflows =
    'fromKg' in emptying ? falling(emptying, chargeLeftKg, now) : [beginRelease(emptying, chargeLeftKg, now)];
  return pumpDown === undefined
    ? outflows
    : outflows.flatMap((one) => cutAt(one, ms(now + Math.round(pumpDown.afterMs)), pumpDown.share));
}

function falling(
  { rateKgPerS, ofKg, fromKg, toKg }: Fall,
  chargeLeftKg: number,
  now: Ms,
): readonly Outflow[] {
  const leftKg = Math.min(chargeLeftKg, ofKg ?? chargeLeftKg);
  const steady = leftKg > fromKg ? [beginRelease({ rateKgPerS, lastsMs: null }, leftKg - fromKg, now)] : [];
  const fromMs = steady[0]?.untilMs ?? now;
  const beganKg = Math.min(leftKg, fromKg);
  const fallsPerS = rateKgPerS / fromKg;
  const lastsMs = Math.round((Math.log(beganKg / toKg) / fallsPerS) * MS_PER_S);
  if (!(lastsMs > 0)) return steady;
  return [...steady, { kgPerS: fallsPerS * beganKg, fallsPerS, fromMs, untilMs: ms(fromMs + lastsMs) }];
}

/** The part before the cut as it is, the part after it at a share of its rate; what is left of each. */
function cutAt(outflow: Outflow, cutMs: Ms, share: number): readonly Outflow[] {
  const { kgPerS, fallsPerS = 0, fromMs, untilMs } = outflow;
  const beginsMs = ms(Math.max(fromMs, cutMs));
  const left = Math.exp((-fallsPerS * (beginsMs - fromMs)) / MS_PER_S);
  const before = { ...outflow, untilMs: ms(Math.min(untilMs, cutMs)) };
  const after = { ...outflow, kgPerS: kgPerS * left * share, fromMs: beginsMs };
  return [before, after].filter((one) => one.untilMs > one.fromMs && one.kgPerS > 0);
}
