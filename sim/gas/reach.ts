/**
 * How far ahead a watched quantity surely stays between its limits: a bound that holds, not an estimate.
 *
 * Watched is a weighted sum w of zones and releases. Second derivatives a of the zones are bounded over all
 * the future, since a' = A a + k2 B e, with releases e that fall at k and raise zones by B e. Air carries
 * gas about and makes none, so, weighted by volume V, all of a together only shrinks but for what e adds:
 *
 *     V |a(t)| <= sum of V |a(0)| + k e(0)
 *
 * With m that bound on a zone's own a, and j what a' comes to at the most through the other zones, two bounds
 * on how far w moves follow, Taylor's with its rest; the one that reaches further counts:
 *
 *     w' t + |w| m t2 / 2      and      w' t + |w a| t2 / 2 + |w| j t3 / 6
 *
 * The second lets one zone be still beside another that is stirred up.
 */
import { at, entryOf } from './expm.ts';
import type { Mode } from './mode.ts';
import { type AirState, releaseAt, sizeOf } from './step.ts';

export interface Watch {
  /** One for each entry of a state of the air. */
  readonly weights: readonly number[];
  /** Nothing between these is outside. */
  readonly lowest: number;
  readonly highest: number;
  readonly outside: (value: number) => boolean;
}

/** A gap that is but rounding, relative: nobody can tell whether it is there. */
const ROUNDING = 2 ** -42;
/** How much of the gap the second bound leaves to its term in t3. */
const CUBE_SHARE = 0.25;

/** What is watched, at a state. */
export function watched({ weights }: Watch, state: Readonly<AirState>): number {
  let sum = 0;
  for (let index = 0; index < weights.length; index += 1) sum += entryOf(weights, index) * at(state, index);
  return sum;
}

/** The rate of change of each entry of a state, per second. Rates move by the same steps as states do. */
export function ratesOf({ outdoors }: Mode, state: Readonly<AirState>): AirState {
  const size = sizeOf(outdoors.shape);
  const rates = new Float64Array(size);
  for (let row = 0; row < size; row += 1) rates[row] = rateOf(outdoors.generator, row, state);
  return rates;
}

/** Seconds, Infinity where it stays for ever. */
export function reachS(mode: Mode, watch: Watch, state: Readonly<AirState>, rates: AirState): number {
  const value = watched(watch, state);
  const slope = watched(watch, rates);
  const bounds = boundsOf(mode, watch, state, rates);
  const up = coverS(slope, bounds, watch.highest - value, ROUNDING * watch.highest);
  // No gas is ever less than none.
  if (!(watch.lowest > 0)) return up;
  return Math.min(up, coverS(-slope, bounds, value - watch.lowest, ROUNDING * watch.lowest));
}

interface Bounds {
  /** Of the second derivative, for ever. */
  readonly second: number;
  /** Of the second derivative now, and of the third for ever. */
  readonly secondNow: number;
  readonly third: number;
}

function boundsOf(mode: Mode, { weights }: Watch, state: Readonly<AirState>, rates: AirState): Bounds {
  const { outdoors, rows, m3, fallsPerS } = mode;
  const { shape, generator } = outdoors;
  const curve = rows.map((_, zone) => Math.abs(rateOf(generator, zone, rates)));
  const releases = rows.map((_, zone) => at(state, releaseAt(shape, zone)));
  const raised = rows.map(({ byRelease }) => dot(byRelease, releases));
  const carried =
    dot(m3, curve) +
    fallsPerS *
      dot(
        releases,
        releases.map(() => 1),
      );
  const most = m3.map((volume, zone) => (mode.full[zone] === true ? 0 : carried / volume));
  let [second, secondNow, third] = [0, 0, 0];
  for (const [zone, { byZone }] of rows.entries()) {
    const weight = entryOf(weights, zone);
    const release = releaseAt(shape, zone);
    const falling = entryOf(weights, release) * fallsPerS ** 2 * at(state, release);
    const throughOthers = dot(byZone.with(zone, 0), most);
    second += weight * entryOf(most, zone) + falling;
    secondNow += weight * entryOf(curve, zone) + falling;
    third += weight * (throughOthers + fallsPerS ** 2 * entryOf(raised, zone));
  }
  return { second, secondNow, third };
}

function dot(some: readonly number[], others: readonly number[]): number {
  return some.reduce((sum, one, index) => sum + one * entryOf(others, index), 0);
}

/** How long until a gap is covered at the most. */
function coverS(slope: number, { second, secondNow, third }: Bounds, gap: number, least: number): number {
  if (gap === Number.POSITIVE_INFINITY) return gap;
  const left = Math.max(gap, least);
  const bySquare = squareS(slope, second, left);
  const byCube = Math.cbrt((6 * CUBE_SHARE * left) / third);
  return Math.max(bySquare, Math.min(squareS(slope, secondNow, (1 - CUBE_SHARE) * left), byCube));
}

/** The time t > 0 at which slope t + second t2 / 2 comes to the gap. */
function squareS(slope: number, second: number, gap: number): number {
  const root = Math.sqrt(slope ** 2 + 2 * second * gap);
  return slope < 0 ? (root - slope) / second : (2 * gap) / (slope + root);
}

function rateOf(generator: Float64Array, row: number, state: Readonly<AirState>): number {
  let sum = 0;
  for (let column = 0; column < state.length; column += 1) {
    sum += at(generator, row * state.length + column) * at(state, column);
  }
  return sum;
}
