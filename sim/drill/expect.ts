/**
 * Expectations, held against the trace of a drill.
 *
 * Each moment at which `when` becomes true (the start too, if it is true there) obliges: `then` is true at
 * some moment from it to `within` later, that moment included, and from there for `for` without a break. What
 * the drill's end leaves undecided has failed, and says that the drill is too short; so has a `when` that
 * never came.
 */
import { exactDuration, formatClock, readableMs } from '../../src/units/index.ts';
import type { Signal, Trace } from '../judge/trace.ts';
import { conditionOver } from './condition.ts';
import type { Expectation, ExpectationResult } from './expectation.ts';
import { expressionText, shortGas } from './expression-text.ts';
import { toldParts } from './told-parts.ts';

/** A list of a thousand moments tells no more than its first few. */
const SENTENCES_MAX = 5;
/** A sum of moments may be off by so much; no clock is as fine. */
const DUST_MS = 1e-6;

export function expectationResults(
  expectations: readonly Expectation[],
  trace: Trace,
): readonly ExpectationResult[] {
  return expectations.map((expectation) => resultOf(expectation, trace));
}

function resultOf(expectation: Expectation, trace: Trace): ExpectationResult {
  const { text, when } = expectation;
  const momentsMs = 'atMs' in when ? [trace.startMs + when.atMs] : risesOf(conditionOver(when, trace));
  if (!('atMs' in when) && momentsMs.length === 0) {
    return { text, result: 'broken', because: [`"${expressionText(when, shortGas)}" was never true`] };
  }
  const outcomes = outcomesOf(momentsMs, expectation, trace);
  const failed = outcomes.filter(({ kind }) => kind !== 'held');
  const told = failed.length > 0 ? failed : outcomes;
  const sentences = told.slice(0, SENTENCES_MAX).map((outcome) => sentenceOf(outcome, expectation, trace));
  const more = told.length - sentences.length;
  const because = more > 0 ? [...sentences, `and ${more} more such moments`] : sentences;
  return { text, result: failed.length > 0 ? 'broken' : 'held', because };
}

/** Moments at which it becomes true. */
function risesOf(condition: Signal<boolean>): readonly number[] {
  return condition.filter(({ value }) => value).map(({ atMs }) => atMs);
}

/** A stretch in which `then` is true; toMs is null where the drill ends before it. */
interface Span {
  readonly fromMs: number;
  readonly toMs: number | null;
}

function spansOf(condition: Signal<boolean>): readonly Span[] {
  return condition.flatMap(({ atMs, value }, index) =>
    value ? [{ fromMs: atMs, toMs: condition[index + 1]?.atMs ?? null }] : [],
  );
}

/** What came of one obliging moment. */
type Outcome = { readonly atMs: number } & (
  | { readonly kind: 'held'; readonly fromMs: number }
  /** nextMs: when it was true at last, too late; null for not any more. */
  | { readonly kind: 'late'; readonly nextMs: number | null }
  /** The longest stretch that began in time. */
  | { readonly kind: 'brief'; readonly fromMs: number; readonly toMs: number }
  | { readonly kind: 'ended while waiting' }
  | { readonly kind: 'ended while lasting'; readonly fromMs: number }
);

function outcomesOf(
  momentsMs: readonly number[],
  expectation: Expectation,
  trace: Trace,
): readonly Outcome[] {
  const spans = spansOf(conditionOver(expectation.then, trace));
  let first = 0;
  return momentsMs.map((atMs): Outcome => {
    // Moments rise, so what ended before one has ended before all that follow.
    while ((spans[first]?.toMs ?? Number.POSITIVE_INFINITY) <= atMs) first += 1;
    return outcomeOf(atMs, spans, first, expectation, trace.endMs);
  });
}

function outcomeOf(
  atMs: number,
  spans: readonly Span[],
  first: number,
  { withinMs, forMs }: Expectation,
  endMs: number,
): Outcome {
  const latestMs = atMs + withinMs + DUST_MS;
  let longest: { readonly fromMs: number; readonly toMs: number } | null = null;
  let index = first;
  for (; index < spans.length; index += 1) {
    const span = spans[index];
    if (span === undefined || span.fromMs > latestMs) break;
    const fromMs = Math.max(span.fromMs, atMs);
    const lasted = (span.toMs ?? endMs) - fromMs + DUST_MS >= forMs;
    if (lasted) return { kind: 'held', atMs, fromMs };
    if (span.toMs === null) return { kind: 'ended while lasting', atMs, fromMs };
    if (longest === null || span.toMs - fromMs > longest.toMs - longest.fromMs) {
      longest = { fromMs, toMs: span.toMs };
    }
  }
  if (latestMs - DUST_MS > endMs) return { kind: 'ended while waiting', atMs };
  if (longest !== null) return { kind: 'brief', atMs, ...longest };
  return { kind: 'late', atMs, nextMs: spans[index]?.fromMs ?? null };
}

/** Times on the drill's own clock, which begins with it. */
function sentenceOf(outcome: Outcome, expectation: Expectation, trace: Trace): string {
  const { startMs, endMs } = trace;
  const { when, withinMs, forMs } = expectation;
  const clock = (atMs: number): string => formatClock(atMs - startMs);
  const at = clock(outcome.atMs);
  const moment = 'atMs' in when ? `at ${at}` : `at ${at} "${expressionText(when, shortGas)}" became true`;
  const then = `${moment}: "${expressionText(expectation.then, shortGas)}"`;
  const took = (durationMs: number, limitMs: number): string =>
    exactDuration(readableMs(durationMs, limitMs));
  const stretch = (fromMs: number, toMs: number): string =>
    `from ${clock(fromMs)} to ${clock(toMs)}, ${took(toMs - fromMs, forMs)}`;
  const parts = (atMs: number): string => {
    const told = toldParts(expectation.then, atMs, trace);
    return told.length === 0 ? '' : `; at ${clock(atMs)} ${told.join(', ')}`;
  };
  switch (outcome.kind) {
    case 'held': {
      const since = took(outcome.fromMs - outcome.atMs, withinMs);
      const came = outcome.fromMs > outcome.atMs ? `became true ${since} later` : 'was true';
      return `${then} ${came}${forMs > 0 ? ` and stayed so for ${exactDuration(forMs)}` : ''}`;
    }
    case 'late': {
      const { nextMs } = outcome;
      const next = nextMs === null ? 'nor later' : `but ${took(nextMs - outcome.atMs, withinMs)} later`;
      const limit = withinMs > 0 ? `within ${exactDuration(withinMs)}` : 'then';
      return `${then} was not true ${limit}, ${next}${parts(outcome.atMs + withinMs)}`;
    }
    case 'brief':
      return `${then} was true ${stretch(outcome.fromMs, outcome.toMs)}, and not for ${exactDuration(forMs)}${parts(outcome.toMs)}`;
    case 'ended while waiting': {
      const left = took(endMs - outcome.atMs, withinMs);
      const long = forMs > 0 ? ` for ${exactDuration(forMs)}` : '';
      return `${then} was not true${long} by the end of the drill ${left} later; it is too short to wait ${exactDuration(withinMs)}`;
    }
    case 'ended while lasting':
      return `${then} was true ${stretch(outcome.fromMs, endMs)}, where the drill ends; it is too short to last ${exactDuration(forMs)}`;
  }
}
