/**
 * A step of the air through time: a transition matrix, applied to a state in place.
 *
 * What moves together is one vector: the gas in each zone (kg/m3), one or two riders that take part without
 * acting back, and the release into each zone (kg/s), which is constant or falls exponentially. A rider is
 * what somebody wants to know beside the air: the kilograms that went outdoors, or what one sensor feels and
 * shows. Because the releases are part of the vector, one step serves every release.
 */
import { at, expm, multiply } from './expm.ts';

/** How many zones and riders a vector has; it lies zones, riders, and a release for each zone. */
export interface Shape {
  readonly zones: number;
  readonly riders: number;
}

/** Owned and changed in place by whoever made it. */
export type AirState = Float64Array;

export interface Step {
  readonly dtMs: number;
  readonly matrix: Float64Array;
  readonly size: number;
  /** Rows behind these leave what they stand for as it is. */
  readonly moving: number;
}

/** Steps of one generator (rates per second, row by row), by their length in ms. */
export interface Steps {
  readonly shape: Shape;
  readonly generator: Float64Array;
  readonly byMs: Map<number, Step>;
}

/** What raises a zone or a rider, per second: by the zones, then by the releases; and by the riders. */
export interface Row {
  readonly byZone: readonly number[];
  readonly byRelease: readonly number[];
  readonly byRider: readonly number[];
}

const MS_PER_S = 1000;
/** Up to here 2^k ms is worked out afresh: rates of one in minutes have then told on the step. */
const LEAP_FRESH_MS = 2 ** 16;
/** A regular poll needs one length, a late or retried one a few more; 94 powers of two (stretch) must fit. */
const STEPS_MAX = 128;
/** Three zones, their releases and two riders; the products of one step, before they replace what was. */
const scratch = new Float64Array(8);

export function sizeOf({ zones, riders }: Shape): number {
  return 2 * zones + riders;
}

/** Where the release into a zone stands in a vector. */
export function releaseAt({ zones, riders }: Shape, zone: number): number {
  return zones + riders + zone;
}

/** The generator with these rows for the zones and riders; every release falls at the given rate. */
export function stepsOf(zones: readonly Row[], riders: readonly Row[], fallsPerS: number): Steps {
  const shape = { zones: zones.length, riders: riders.length };
  const size = sizeOf(shape);
  const generator = new Float64Array(size * size);
  for (const [index, { byZone, byRelease, byRider }] of [...zones, ...riders].entries()) {
    generator.set([...byZone, ...byRider, ...byRelease], index * size);
  }
  for (let row = zones.length + riders.length; row < size; row += 1) {
    generator[row * size + row] = -fallsPerS;
  }
  return { shape, generator, byMs: new Map() };
}

/** The step of this length, from memory where it was asked for before. */
export function stepAfter(steps: Steps, dtMs: number): Step {
  return remembered(steps, dtMs, freshStep);
}

/**
 * The step of a power of two of ms, remembered. A long one is its half taken twice, which costs little; a
 * short one is worked out, because doubling what hardly differs from standing still doubles its rounding.
 */
export function leapAfter(steps: Steps, leapMs: number): Step {
  return remembered(steps, leapMs, leapMs > LEAP_FRESH_MS ? halfTwice : freshStep);
}

/** The step of this length, not kept: for one that will hardly come again. */
export function freshStep({ shape, generator }: Steps, dtMs: number): Step {
  const seconds = dtMs / MS_PER_S;
  const size = sizeOf(shape);
  const matrix = expm(
    generator.map((perSecond) => perSecond * seconds),
    size,
  );
  const falling = at(generator, generator.length - 1) !== 0;
  return { dtMs, matrix, size, moving: falling ? size : shape.zones + shape.riders };
}

/** Takes the state one step on, in place: the one product that a sensor read costs. */
export function applyStep({ matrix, size, moving }: Step, state: AirState): void {
  // Taken once: reaching for an import again and again would cost more than the product.
  const entry = at;
  for (let row = 0; row < moving; row += 1) {
    let sum = 0;
    for (let column = 0, cell = row * size; column < size; column += 1, cell += 1) {
      sum += entry(matrix, cell) * entry(state, column);
    }
    scratch[row] = sum;
  }
  for (let row = 0; row < moving; row += 1) state[row] = entry(scratch, row);
}

/** Full, the memory starts anew: whoever polls regularly has filled his part again after one poll. */
function remembered(steps: Steps, dtMs: number, make: (steps: Steps, dtMs: number) => Step): Step {
  const known = steps.byMs.get(dtMs);
  if (known !== undefined) return known;
  const made = make(steps, dtMs);
  if (steps.byMs.size >= STEPS_MAX) steps.byMs.clear();
  steps.byMs.set(dtMs, made);
  return made;
}

function halfTwice(steps: Steps, dtMs: number): Step {
  const { matrix: half, size, moving } = leapAfter(steps, dtMs / 2);
  const matrix = new Float64Array(half.length);
  multiply(half, half, matrix, size);
  return { dtMs, matrix, size, moving };
}
