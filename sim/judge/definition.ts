/**
 * What a rule is to the judge: the cases in which it was put to the test, each with its distance to the
 * limit.
 *
 * Robustness is measured in time: how much later, earlier or shorter would have tipped the verdict. The
 * other common measure is in values (how much more gas until the verdict tips); a command is on or off and
 * has no such distance, so a margin in values would say something of the gas and nothing of the
 * controller.
 *
 * A limit met exactly is held, one millisecond more is broken.
 */
import type { Ground } from './ground.ts';
import { lackingBefore, reachedBy } from './outputs.ts';
import { firstFrom, lengthMs, type Span, type Spans, spanAt, spanUpTo, within } from './spans.ts';
import { against, clock, length } from './text.ts';

export interface Case {
  /** Distance to the limit; negative where the rule is broken. */
  readonly marginMs: number;
  readonly atMs: number;
  readonly sensor: string | null;
  /** What it asked for stood before it asked: of the controller it shows nothing. */
  readonly stoodAlready?: boolean;
  /** Written only for the case that is shown. */
  readonly because: () => readonly string[];
}

export interface Definition {
  /** What the rig lacks for the rule to mean anything; null where it lacks nothing. */
  readonly lacks: (ground: Ground) => string | null;
  /** A case that was not decided (the drill ended first) is no case. */
  readonly cases: (ground: Ground) => readonly Case[];
  /** What would have put it to the test. */
  readonly exercisedWhen: string;
  /** From when on its limit counts. */
  readonly countedFrom: string;
  /** How long, or until when, and what. */
  readonly limit: string;
}

export const lacksNothing = (): null => null;

export function lacksModbusSensors(ground: Ground): string | null {
  return ground.trace.sensors.some((sensor) => sensor.kind === 'modbus')
    ? null
    : 'The rig has no Modbus sensor.';
}

/**
 * A state that must last through a window: how long it did not, and from when on; where it did, until when.
 */
export interface Lapse {
  readonly lapseMs: number;
  readonly fromMs: number;
}

export function lapseIn(window: Span, good: Spans): Lapse {
  const kept = within(window, good);
  const first = kept[0];
  const fromMs = first === undefined || first.fromMs > window.fromMs ? window.fromMs : first.toMs;
  return { lapseMs: window.toMs - window.fromMs - lengthMs(kept), fromMs };
}

/** A state that must come within a limit of the span's beginning, and last as long as the span. */
export interface Settling {
  readonly marginMs: number;
  /** When the state came; null where it was not there when it had to be. */
  readonly cameMs: number | null;
  readonly lapseFromMs: number;
}

/** Null where the span ended before the limit, and the state had not come: nothing is decided. */
export function settlingIn(span: Span, limitMs: number, good: Spans): Settling | null {
  const dueMs = span.fromMs + limitMs;
  const { lapseMs, fromMs } = lapseIn({ fromMs: Math.min(dueMs, span.toMs), toMs: span.toMs }, good);
  if (lapseMs > 0) return { marginMs: -lapseMs, cameMs: null, lapseFromMs: fromMs };
  const came = dueMs < span.toMs ? spanAt(good, dueMs) : within(span, good)[0];
  if (came === undefined) return null;
  const cameMs = Math.max(came.fromMs, span.fromMs);
  return { marginMs: limitMs - (cameMs - span.fromMs), cameMs, lapseFromMs: span.toMs };
}

/** Why mitigation must be reached, and how soon. */
export interface Demand {
  readonly sensor: string;
  readonly said: string;
  readonly limitMs: number;
  readonly source: string;
}

/**
 * Mitigation is reached within the limit of the beginning of a span that lasted as long as the limit. Where
 * judged time ends with the limit, the last moment it may come at was not seen: no case.
 */
export function reachedCase(span: Span, demand: Demand, ground: Ground): readonly Case[] {
  const { limitMs } = demand;
  const stretch = spanAt(ground.judged, span.fromMs);
  const dueMs = span.fromMs + limitMs;
  if (stretch === undefined || span.toMs < dueMs || stretch.toMs <= dueMs) return [];
  const foundMs = firstFrom(ground.mitigation, span.fromMs) ?? Infinity;
  const reachedMs = foundMs < stretch.toMs ? foundMs : null;
  const tookMs = (reachedMs ?? stretch.toMs) - span.fromMs;
  const marginMs = limitMs - tookMs;
  // What is reached at the very onset was done, and what stood before was not done for this.
  const stoodAlready = tookMs === 0 && spanUpTo(ground.mitigation, span.fromMs) !== undefined;
  const because = (): readonly string[] => [
    `${demand.said}; counted from ${clock(span.fromMs)}.`,
    reachedMs === null
      ? `Mitigation had not been reached by ${clock(stretch.toMs)}${lackingBefore(stretch.toMs, ground)}.`
      : stoodAlready
        ? 'Mitigation stood already.'
        : `Mitigation was reached at ${clock(reachedMs)}${reachedBy(reachedMs, ground)}, ` +
          `after ${length(tookMs, limitMs)}.`,
    against(limitMs, demand.source, marginMs),
  ];
  return [{ marginMs, atMs: span.fromMs, sensor: demand.sensor, stoodAlready, because }];
}
