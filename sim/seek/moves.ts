/** What a person or a mishap does as one thing, and how two of them follow each other. */
import fc from 'fast-check';

/** A step without its `at`. */
export type Deed = Readonly<Record<string, unknown>>;

/** Deeds, each so many ms after the first. */
export type Move = readonly (readonly [afterMs: number, deed: Deed])[];

export function once(deed: Deed): Move {
  return [[0, deed]];
}

/** One, and the other so long after its beginning. */
export function followed(
  first: fc.Arbitrary<Move>,
  afterMs: fc.Arbitrary<number>,
  second: fc.Arbitrary<Move>,
): fc.Arbitrary<Move> {
  return fc
    .tuple(first, afterMs, second)
    .map(
      ([one, fromMs, other]): Move => [...one, ...other.map(([ms, deed]) => [fromMs + ms, deed] as const)],
    );
}
