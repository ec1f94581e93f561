/** The one seeded generator that serves every draw (pure-rand's xoroshiro128+). */
import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';

export interface Draw {
  /** Uniform in [0, 1). */
  chance(): number;
  /** From the standard normal distribution (Box and Muller, 1958). */
  normal(): number;
}

/** Whether a fault that is drawn anew at each request strikes this one. */
export function strikes(fault: { readonly probability: number } | undefined, draw: Draw): boolean {
  return fault !== undefined && (fault.probability >= 1 || draw.chance() < fault.probability);
}

export function seededDraw(seed: number): Draw {
  const generator = xoroshiro128plus(seed);
  const chance = (): number => uniformFloat64(generator);
  return {
    chance,
    // 1 - chance() is never 0, so its logarithm is finite.
    normal: () => Math.sqrt(-2 * Math.log(1 - chance())) * Math.cos(2 * Math.PI * chance()),
  };
}
