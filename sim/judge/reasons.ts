/**
 * What one sensor told on the wire: its reasons to mitigate, when it was well, and the signs of more to
 * come.
 *
 * The fold begins anew with every life of the controller (a stretch of its power and the rig's): what was
 * answered before is nothing it could know.
 */
import { endFold, type Fold, foldAnswer, foldUnanswered, newFold } from './fold.ts';
import type { JudgedPolicy } from './policy.ts';
import { isGas, type Reason, strictSpan } from './reason.ts';
import { itemsIn, minus, type Span, type Spans, spansOf } from './spans.ts';
import type { SensorTrace } from './trace.ts';

export interface Told {
  readonly reasons: readonly Reason[];
  /** No reason, number below `clearBelow`, self-test passed. */
  readonly well: Spans;
  /** Moments of what may be the beginning of a reason, in order. */
  readonly signs: readonly number[];
  /** Moments at which gas between zero and `clearBelow` was reported, in order. */
  readonly whiffs: readonly number[];
}

export function toldBy(sensor: SensorTrace, lives: Spans, policy: JudgedPolicy): Told {
  const folds = lives.map((life) => foldOf(sensor, life, policy));
  const reasons = folds.flatMap((fold) => fold.reasons);
  return {
    reasons,
    // Silence and a frozen counter are known only later to have begun: taken out afterwards.
    well: minus(spansOf(folds.flatMap((fold) => fold.well)), spansOf(reasons.map(strictSpan))),
    signs: folds.flatMap((fold) => fold.signs).sort((a, b) => a - b),
    whiffs: folds.flatMap((fold) => fold.whiffs),
  };
}

/** Gas first told at the very moment at which a life of the controller was cut: heard or not, who knows. */
export function toldAtCuts(sensor: SensorTrace, lives: Spans, policy: JudgedPolicy): readonly Reason[] {
  return lives.flatMap(({ fromMs, toMs }) =>
    foldOf(sensor, { fromMs, toMs: toMs + 1 }, policy).reasons.filter(
      (reason) => reason.fromMs === toMs && isGas(reason),
    ),
  );
}

function foldOf(sensor: SensorTrace, life: Span, policy: JudgedPolicy): Fold {
  const fold = newFold(sensor, policy, life);
  for (const { atMs, answer, stateless } of itemsIn(sensor.requests, life)) {
    if (answer === null) foldUnanswered(fold, atMs, stateless === true);
    // One that was still under way when the life ended was neither missed nor heard.
    else if (answer.atMs < life.toMs) foldAnswer(fold, atMs, answer);
  }
  endFold(fold);
  return fold;
}
