/** What changed between two states, as facts for the record. */
import type { Fact } from '../events/index.ts';
import type { Ms } from '../units/index.ts';
import { becauseOf } from './because.ts';
import { HAZARDS, type Standing } from './hazards.ts';
import { outputNames, readOutput } from './outputs.ts';
import { hazardSentence } from './sentences.ts';
import type { MitigationPolicy, Situation } from './situation.ts';
import type { MitigationState, PhaseKind } from './state.ts';

/** The change of phase into `running` is not among them: it was recorded before it came about. */
export function factsBetween(
  before: MitigationState,
  after: MitigationState,
  situation: Situation,
  policy: MitigationPolicy,
  now: Ms,
): readonly Fact[] {
  const facts: Fact[] = [];
  for (const one of missingFrom(before.standing, after.standing)) {
    const text = hazardSentence(one, situation, policy);
    facts.push({
      id: 'hazard.raised',
      atMs: now,
      fields: { hazard: one.hazard, subject: one.subject, text },
    });
  }
  for (const one of missingFrom(after.standing, before.standing)) {
    facts.push({
      id: 'hazard.cleared',
      atMs: now,
      fields: { hazard: one.hazard, subject: one.subject, title: HAZARDS[one.hazard].title },
    });
  }
  if (policy.latchAfter !== null && after.tripsAtMs.at(-1) === now && before.tripsAtMs.at(-1) !== now) {
    const { withinMs } = policy.latchAfter;
    facts.push({ id: 'trip.counted', atMs: now, fields: { count: after.tripsAtMs.length, withinMs } });
  }
  const from = before.phase.kind;
  const to = after.phase.kind;
  if (from !== to && to !== 'running') {
    facts.push({
      id: 'mitigation.changed',
      atMs: now,
      fields: { from, to, reason: reasonFor(before, after, situation, policy) },
    });
  }
  return [...facts, ...commandFacts(before, after, situation, policy, now)];
}

/**
 * Those of a list that are not in another. Both stand in one order and hardly differ, so that one walk along
 * both finds nearly all: thousands of sensors that wait for their self-test are looked at with every answer.
 */
function missingFrom(others: readonly Standing[], list: readonly Standing[]): readonly Standing[] {
  let next = 0;
  return list.filter((one) => {
    const isOne = (other: Standing | undefined): boolean =>
      other?.hazard === one.hazard && other.subject === one.subject;
    const at = isOne(others[next]) ? next : others.findIndex(isOne);
    if (at < 0) return true;
    next = at + 1;
    return false;
  });
}

/**
 * What a person asks first when the state changes: the strongest thing that is new, else that stands, or
 * that nothing does.
 */
function reasonFor(
  before: MitigationState,
  after: MitigationState,
  situation: Situation,
  policy: MitigationPolicy,
): string {
  if (after.phase.kind === 'holding') return holdReason(before.phase.kind);
  const [strongest = after.standing[0]] = missingFrom(before.standing, after.standing);
  return strongest === undefined ? 'the fire is over' : hazardSentence(strongest, situation, policy);
}

/** Three phases lead into a hold, each for a reason of its own. */
function holdReason(from: PhaseKind): string {
  // Gas may well be there still: the next step looks.
  if (from === 'fire') return 'the fire is over; the hold begins at its full length';
  if (from === 'lockedOut') return 'a person pressed service reset while nothing was wrong';
  return 'no sensor is at the setpoint, failed or silent any longer';
}

function commandFacts(
  before: MitigationState,
  after: MitigationState,
  situation: Situation,
  policy: MitigationPolicy,
  now: Ms,
): Fact[] {
  if (before.commands === after.commands) return [];
  return outputNames(policy.circuits).flatMap((output): Fact[] => {
    const on = readOutput(after.commands, output, policy.circuits);
    if (readOutput(before.commands, output, policy.circuits) === on) return [];
    const because = becauseOf(after, output, situation, policy, now);
    return [{ id: 'command.changed', atMs: now, fields: { output, on, because } }];
  });
}
