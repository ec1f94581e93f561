/**
 * Episodes: a reason where none held and the last hold had passed, all that overlap it, and the hold.
 *
 * Readings where the words leave room:
 * - A reason shorter than `respondWithin` that no mitigation answered makes no episode; answered is one at
 *   which mitigation stood at some moment up to `respondWithin` after its onset, late by a cycle or not.
 * - Reasons end strictly by the least reading, laxly by any other.
 * - Whether and how long a reason stood is counted inside judged time.
 * - A hold may be longer than it must be. By the least reading an episode goes on past its hold until
 *   mitigation has been left, so that gas in a longer hold, or in one begun anew after a cut, is no other
 *   trip. For `respondWithin` after a power-up, or any other gap in judged time, no mitigation is not yet left.
 * - By the most reading gas that was told when the power went makes an episode, answered or not: it may be on
 *   record, where no output had the time to show it.
 * - A power cut ends an episode whose mitigation had not been reached: nothing could be lost. One that had
 *   been reached goes on after the cut, and a reason open at the cut ends no earlier than the power-up.
 */
import type { JudgedPolicy } from './policy.ts';
import { isGas, type Reason, strictSpan } from './reason.ts';
import { after, firstFrom, minus, type Spans, spanAt, within } from './spans.ts';

export interface Episode {
  readonly fromMs: number;
  readonly first: Reason;
  /** In order of onset. */
  readonly reasons: readonly Reason[];
  readonly lastEndMs: number;
  /** When the hold has passed. */
  readonly toMs: number;
  /** End of the controller's life in which it began. */
  readonly lifeEndMs: number;
  /** End of that life inside it, by a cut or with the drill, mitigation having been reached before. */
  readonly cutMs: number | null;
  /** Its first gas or contradiction. */
  readonly trip: Reason | null;
}

/** What episodes are made of. */
export interface EpisodeFacts {
  readonly policy: JudgedPolicy;
  readonly lives: Spans;
  readonly judged: Spans;
  readonly mitigation: Spans;
  readonly reasons: readonly Reason[];
}

interface Growing {
  readonly first: Reason;
  readonly reasons: Reason[];
  lastEndMs: number;
}

/** For lock-outs `least` and `most`: what a controller must count, and what it may. */
type Reading = 'lax' | 'least' | 'most';

export function episodesIn(facts: EpisodeFacts, reading: Reading): readonly Episode[] {
  const goesOn = reading === 'least' ? inMitigation(facts) : inHold;
  const episodes: Episode[] = [];
  let growing: Growing | null = null;
  for (const reason of facts.reasons) {
    const lastWords = reading === 'most' && reason.open && isGas(reason);
    if (!lastWords && !counts(reason, facts)) continue;
    const endMs = endOf(reason, reading, facts);
    if (growing !== null && joins(reason, growing, facts, goesOn)) {
      growing.reasons.push(reason);
      growing.lastEndMs = Math.max(growing.lastEndMs, endMs);
      continue;
    }
    if (growing !== null) episodes.push(finished(growing, facts));
    growing = { first: reason, reasons: [reason], lastEndMs: endMs };
  }
  if (growing !== null) episodes.push(finished(growing, facts));
  return episodes;
}

function counts(reason: Reason, facts: EpisodeFacts): boolean {
  const { respondWithinMs } = facts.policy;
  return within(strictSpan(reason), facts.judged).some(({ fromMs, toMs }) => {
    if (toMs - fromMs >= respondWithinMs) return true;
    const answeredMs = firstFrom(facts.mitigation, fromMs);
    return (
      answeredMs !== undefined &&
      answeredMs <= fromMs + respondWithinMs &&
      spanAt(facts.judged, answeredMs) !== undefined
    );
  });
}

/** Whether an episode whose hold has passed at `passedMs` still lasted right before `onsetMs`. */
type GoesOn = (passedMs: number, onsetMs: number) => boolean;

const inHold: GoesOn = (passedMs, onsetMs) => onsetMs < passedMs;

function inMitigation({ policy, judged, mitigation }: EpisodeFacts): GoesOn {
  const left = minus(after(judged, policy.respondWithinMs), mitigation);
  return (passedMs, onsetMs) => within({ fromMs: passedMs, toMs: onsetMs }, left).length === 0;
}

function joins(reason: Reason, growing: Growing, facts: EpisodeFacts, goesOn: GoesOn): boolean {
  if (!goesOn(growing.lastEndMs + facts.policy.holdMs, reason.fromMs)) return false;
  return reason.fromMs < growing.first.lifeEndMs || wasReached(growing, facts);
}

/** Whether mitigation stood in it before the first cut. */
function wasReached(growing: Growing, facts: EpisodeFacts): boolean {
  const before = { fromMs: growing.first.fromMs, toMs: growing.first.lifeEndMs };
  return within(before, facts.judged).some((piece) => within(piece, facts.mitigation).length > 0);
}

function endOf(reason: Reason, reading: Reading, facts: EpisodeFacts): number {
  if (reason.open) return firstFrom(facts.lives, reason.untilMs) ?? reason.untilMs;
  return reading === 'least' ? reason.untilMs : reason.laxUntilMs;
}

function finished(growing: Growing, facts: EpisodeFacts): Episode {
  const { first, reasons, lastEndMs } = growing;
  const { fromMs, lifeEndMs } = first;
  const toMs = lastEndMs + facts.policy.holdMs;
  return {
    fromMs,
    first,
    reasons,
    lastEndMs,
    toMs,
    lifeEndMs,
    cutMs: lifeEndMs < toMs && wasReached(growing, facts) ? lifeEndMs : null,
    trip: reasons.find(isGas) ?? null,
  };
}
