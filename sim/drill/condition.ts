/** What a condition is over a trace: true or false at every moment from its start to its end. */
import type { Change, SensorTrace, Signal, Trace } from '../judge/trace.ts';
import type { Expression } from './expectation.ts';

/** What a conversion between units, or a crossing that was computed, may be off. */
const DUST_PERCENT_LFL = 1e-9;

/** Begins at the trace's start; neighbours differ, moments rise, none lies behind the trace's end. */
export function conditionOver(expression: Expression, trace: Trace): Signal<boolean> {
  switch (expression.kind) {
    case 'signal':
      return settled(switchOf(expression.name, trace), trace);
    case 'compare': {
      const { operator, percentLfl } = expression;
      const holds = (value: number | null): boolean =>
        value !== null && compares(value, operator, percentLfl);
      return settled(mapped(amountOf(expression.name, trace), holds), trace);
    }
    case 'is': {
      return settled(
        mapped(stateOf(expression.name, trace), (state) => state === expression.state),
        trace,
      );
    }
    case 'not':
      return mapped(conditionOver(expression.of, trace), (value) => !value);
    case 'and':
    case 'or': {
      const left = conditionOver(expression.left, trace);
      const right = conditionOver(expression.right, trace);
      const isAnd = expression.kind === 'and';
      return settled(
        joined(left, right, (one, other) => (isAnd ? one && other : one || other)),
        trace,
      );
    }
  }
}

function compares(value: number, operator: '>=' | '>' | '<=' | '<', limit: number): boolean {
  switch (operator) {
    case '>=':
      return value >= limit - DUST_PERCENT_LFL;
    case '>':
      return value > limit + DUST_PERCENT_LFL;
    case '<=':
      return value <= limit + DUST_PERCENT_LFL;
    case '<':
      return value < limit - DUST_PERCENT_LFL;
  }
}

function switchOf(name: string, trace: Trace): Signal<boolean> {
  const signal = trace.outputs.get(name) ?? trace.inputs.get(name);
  // A rig without heat has no such output, which then never is on.
  if (signal === undefined && name === 'heat') return [{ atMs: trace.startMs, value: false }];
  return signal ?? answering(sensorSignal(name, trace).sensor, trace.startMs);
}

/** True gas, or the number last answered: null where the answer had no valid one. */
export function amountOf(name: string, trace: Trace): Signal<number | null> {
  const { sensor, part } = sensorSignal(name, trace);
  return part === 'gas' ? sensor.gas : mapped(answersOf(sensor, 'gasPercentLfl'), (value) => value ?? null);
}

/** The state last answered. */
export function stateOf(name: string, trace: Trace): Signal<string> {
  return answersOf(sensorSignal(name, trace).sensor, 'state');
}

function sensorSignal(name: string, trace: Trace): { readonly sensor: SensorTrace; readonly part: string } {
  const [id, part = ''] = name.split('.', 2);
  const sensor = trace.sensors.find((one) => one.id === id);
  if (sensor === undefined) throw new Error(`the trace has no signal ${name}`);
  return { sensor, part };
}

/** One field of the answers, from the moment each came. */
function answersOf<Field extends 'state' | 'gasPercentLfl'>(sensor: SensorTrace, field: Field) {
  const changes = sensor.requests.flatMap(({ answer }) =>
    answer === null ? [] : [{ atMs: answer.atMs, value: answer[field] }],
  );
  return inOrder(changes);
}

/**
 * From an answer that came until the moment of a request that brings none. Before anybody asks it is as the
 * first request turns out, since not being asked is no silence; a sensor that is never asked answers nothing.
 */
function answering(sensor: SensorTrace, startMs: number): Signal<boolean> {
  const changes = sensor.requests.map(({ atMs, answer }) => ({
    atMs: answer?.atMs ?? atMs,
    value: answer !== null,
  }));
  const [first, ...later] = inOrder(changes);
  return first === undefined ? [] : [{ atMs: startMs, value: first.value }, ...later];
}

/** A late answer may come after the next request. */
function inOrder<Value>(changes: readonly Change<Value>[]): Signal<Value> {
  return changes.toSorted((one, other) => one.atMs - other.atMs);
}

function mapped<From, To>(signal: Signal<From>, to: (value: From) => To): Signal<To> {
  return signal.map(({ atMs, value }) => ({ atMs, value: to(value) }));
}

/** Both must begin at the same moment. */
function joined(
  left: Signal<boolean>,
  right: Signal<boolean>,
  of: (one: boolean, other: boolean) => boolean,
): Signal<boolean> {
  const changes: Change<boolean>[] = [];
  let [one, other] = [0, 0];
  while (one < left.length || other < right.length) {
    const atMs = Math.min(
      left[one]?.atMs ?? Number.POSITIVE_INFINITY,
      right[other]?.atMs ?? Number.POSITIVE_INFINITY,
    );
    if (left[one]?.atMs === atMs) one += 1;
    if (right[other]?.atMs === atMs) other += 1;
    changes.push({ atMs, value: of(left[one - 1]?.value ?? false, right[other - 1]?.value ?? false) });
  }
  return changes;
}

/** False before the first change: what was never said is not true. Of one moment the last change counts. */
function settled(changes: Signal<boolean>, { startMs, endMs }: Trace): Signal<boolean> {
  const kept: Change<boolean>[] = [{ atMs: startMs, value: false }];
  for (const { atMs: changedMs, value } of changes) {
    if (changedMs > endMs) break;
    const atMs = Math.max(startMs, changedMs);
    if (kept.at(-1)?.atMs === atMs) kept.pop();
    if (kept.at(-1)?.value !== value) kept.push({ atMs, value });
  }
  return kept;
}
