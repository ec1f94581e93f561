/**
 * Expectations once more, slow and plain: every condition worked out at every single moment of a trace whose
 * moments are all whole. Nothing here is shared with what it checks.
 */
import type { Expectation, Expression } from '../../../sim/drill/expectation.ts';
import type { SensorTrace, Trace } from '../../../sim/judge/trace.ts';

export type Verdict = 'held' | 'broken' | 'too short' | 'never';

export function slowVerdict({ when, then, withinMs, forMs }: Expectation, trace: Trace): Verdict {
  const { startMs, endMs } = trace;
  const isTrue = (expression: Expression, atMs: number): boolean => isTrueAt(expression, trace, atMs);
  const obliging =
    'atMs' in when
      ? [startMs + when.atMs]
      : moments(startMs, endMs).filter(
          (atMs) => isTrue(when, atMs) && (atMs === startMs || !isTrue(when, atMs - 1)),
        );
  if (obliging.length === 0) return 'never';
  const verdicts = obliging.map((atMs): Verdict => {
    const starts = moments(atMs, atMs + withinMs);
    /** Every moment from it on for which it must be true, the last one excluded as in a span. */
    const needed = (fromMs: number): number[] => moments(fromMs, Math.max(fromMs, fromMs + forMs - 1));
    const known = starts.filter((fromMs) => fromMs <= endMs && fromMs + forMs <= endMs);
    if (known.some((fromMs) => needed(fromMs).every((one) => isTrue(then, one)))) return 'held';
    const open = starts.filter((fromMs) => !known.includes(fromMs));
    const mayBe = open.some((fromMs) => needed(fromMs).every((one) => one > endMs || isTrue(then, one)));
    return mayBe ? 'too short' : 'broken';
  });
  if (verdicts.includes('broken')) return 'broken';
  return verdicts.includes('too short') ? 'too short' : 'held';
}

function moments(fromMs: number, toMs: number): number[] {
  return Array.from({ length: toMs - fromMs + 1 }, (_, index) => fromMs + index);
}

export function isTrueAt(expression: Expression, trace: Trace, atMs: number): boolean {
  switch (expression.kind) {
    case 'not':
      return !isTrueAt(expression.of, trace, atMs);
    case 'and':
      return isTrueAt(expression.left, trace, atMs) && isTrueAt(expression.right, trace, atMs);
    case 'or':
      return isTrueAt(expression.left, trace, atMs) || isTrueAt(expression.right, trace, atMs);
    case 'signal':
      return signalAt(expression.name, trace, atMs) === true;
    case 'is':
      return signalAt(expression.name, trace, atMs) === expression.state;
    case 'compare': {
      const value = signalAt(expression.name, trace, atMs);
      if (typeof value !== 'number') return false;
      if (expression.operator === '>=') return value >= expression.percentLfl;
      if (expression.operator === '>') return value > expression.percentLfl;
      if (expression.operator === '<=') return value <= expression.percentLfl;
      return value < expression.percentLfl;
    }
  }
}

function signalAt(name: string, trace: Trace, atMs: number): unknown {
  const sensor = trace.sensors.find(({ id }) => name.startsWith(`${id}.`));
  if (sensor === undefined) return lastUpTo(trace.outputs.get(name) ?? trace.inputs.get(name) ?? [], atMs);
  const part = name.slice(sensor.id.length + 1);
  if (part === 'gas') return lastUpTo(sensor.gas, atMs);
  if (part === 'answers') return lastUpTo(heard(sensor), atMs) ?? earliest(heard(sensor));
  const answers = sensor.requests.flatMap(({ answer }) =>
    answer === null
      ? []
      : [{ atMs: answer.atMs, value: part === 'state' ? answer.state : answer.gasPercentLfl }],
  );
  return lastUpTo(answers, atMs);
}

function heard({ requests }: SensorTrace): { readonly atMs: number; readonly value: boolean }[] {
  return requests.map(({ atMs, answer }) =>
    answer === null ? { atMs, value: false } : { atMs: answer.atMs, value: true },
  );
}

/** Before anybody asks it is as the first request turns out. */
function earliest(changes: ReturnType<typeof heard>): boolean | undefined {
  const firstMs = Math.min(...changes.map(({ atMs }) => atMs));
  return changes.find(({ atMs }) => atMs === firstMs)?.value;
}

/** The value of the latest change not after a moment; of equally late ones, of the last in the list. */
function lastUpTo(
  changes: readonly { readonly atMs: number; readonly value: unknown }[],
  atMs: number,
): unknown {
  let [latestMs, value]: [number, unknown] = [Number.NEGATIVE_INFINITY, undefined];
  for (const change of changes) {
    if (change.atMs <= atMs && change.atMs >= latestMs) [latestMs, value] = [change.atMs, change.value];
  }
  return value;
}
