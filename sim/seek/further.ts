/** A drill that was run up to a moment, and then something else: how long histories come about. */
import fc from 'fast-check';
import type { Rig } from '../../src/rig/index.ts';
import type { Start } from './corpus.ts';
import { deedsOf } from './deeds.ts';
import { wholeMs } from './plan.ts';
import { inOrder, type Plan } from './planned.ts';

const MOVES_MAX = 2;
/** A history does not grow past so many holds with a restart each: drills of it must stay affordable. */
const WHOLES_MAX = 5;

export function furtherOf(rig: Rig, { plan, atMs }: Start): fc.Arbitrary<Plan> {
  const { spans, any } = deedsOf(rig);
  const span = fc.constantFrom(...spans);
  const after = fc.oneof(
    span,
    fc.tuple(span, span).map(([one, other]) => one + other),
  );
  const before = plan.steps.filter((step) => step.atMs <= atMs);
  return fc.array(fc.tuple(after, any), { minLength: 1, maxLength: MOVES_MAX }).map((moves) => {
    const further = moves.flatMap(([afterMs, move]) =>
      move.map(([ms, deed]) => ({ atMs: atMs + afterMs + ms, deed })),
    );
    const lastMs = Math.max(...further.map((step) => step.atMs));
    const wantedMs = Math.min(wholeMs(rig, lastMs), WHOLES_MAX * wholeMs(rig, 0));
    const lengthMs = Math.max(plan.lengthMs, wantedMs);
    return { ...plan, lengthMs, steps: inOrder([...before, ...further], lengthMs) };
  });
}
