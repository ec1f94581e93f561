/**
 * The mitigation machine: the one place that decides what the equipment does about gas.
 *
 * States: starting → running ⇄ mitigating → holding → running; lockedOut after repeated trips, until a
 * person resets; fire above all. Input: the situation as belief has settled it, at a moment `now`, again
 * and again; time is an argument. Output: the next state with its commands, and the facts that changed.
 *
 * Invariants (each has a test over every reachable state):
 * - While a sensor's finding stands, or the hold has not run, compressors and heat are off and the fan is on.
 * - Only `running` lets a compressor or heat on, and nothing enters `running` before its release is recorded.
 * - A hold that began is never shortened: the clock only grows while airflow is proven, and starts anew
 *   with every moment of gas or unknown.
 * - Tripping waits for nothing: a finding changes the commands in the step that sees it.
 */
import type { Fact } from '../events/index.ts';
import type { Ms } from '../units/index.ts';
import { effectsOf, hazardsNow, noteFeedback } from './assess.ts';
import { commandsFor } from './commands.ts';
import { factsBetween } from './facts.ts';
import { endsAfterHold } from './hazards.ts';
import { mayRelease, runClock } from './hold.ts';
import { SINGLE_OUTPUTS } from './outputs.ts';
import type { MitigationPolicy, Situation } from './situation.ts';
import { type Commands, type MitigationState, NOT_BEGUN, type Phase } from './state.ts';

export interface MitigationStep {
  readonly state: MitigationState;
  /** What changed, ready for the record. */
  readonly facts: readonly Fact[];
  /**
   * The machine would enter `running` now: record this fact, then step again at the same moment with
   * `recorded`. Until then it stays where it is, and everything stays off.
   */
  readonly release: Fact | null;
}

/**
 * One step. Order: note what the equipment answers, count a trip, find the phase, then the hazards that stand
 * in it, then what they leave of the calls. `recorded` says that the release which the last step asked for is
 * on disk; without it the step never enters `running`.
 */
export function stepMitigation(
  before: MitigationState,
  situation: Situation,
  policy: MitigationPolicy,
  now: Ms,
  recorded = false,
): MitigationStep {
  const noted = noteFeedback(before, situation, now);
  const reset = resetPressed(before, situation);
  const trips = countTrip(noted, situation, policy, now);
  const next = nextPhase(before.phase, trips, situation, policy, now, reset);
  const held = next.kind === 'running' && before.phase.kind !== 'running' && !recorded;
  const phase = held ? withoutRelease(before.phase, situation, now) : next;

  const forgetTrips = before.phase.kind === 'lockedOut' && phase.kind === 'holding' && reset;
  const decided: MitigationState = {
    ...noted,
    phase,
    tripsAtMs: forgetTrips ? [] : trips.atMs,
    tripCounted: phase.kind === 'running' ? false : trips.counted,
    resetWasHeld: !situation.plant.heard || situation.plant.inputs?.serviceReset !== false,
  };
  const standing = hazardsNow(decided, situation, policy, now);
  const { commands, compressors } = commandsFor(decided, effectsOf(standing), situation, policy, now);
  const state = { ...decided, standing, commands: kept(before.commands, commands), compressors };
  const release = held ? releaseFact(before.phase, now) : null;
  return { state, facts: factsBetween(before, state, situation, policy, now), release };
}

/** Commands that did not change stay the same value, so that whoever compares them need not look inside. */
function kept(before: Commands, after: Commands): Commands {
  const same =
    SINGLE_OUTPUTS.every((output) => before[output] === after[output]) &&
    before.compressors.every((on, circuit) => on === after.compressors[circuit]);
  return same ? before : after;
}

interface Trips {
  readonly atMs: readonly Ms[];
  readonly counted: boolean;
  /** This step's trip reaches `latchAfter`. */
  readonly latches: boolean;
}

/** One trip an episode, at its first gas; trips older than the window no longer count. */
function countTrip(state: MitigationState, situation: Situation, policy: MitigationPolicy, now: Ms): Trips {
  const gas = situation.sensors.some((sensor) => sensor.findings.some(isGas));
  const { latchAfter } = policy;
  if (!gas || state.tripCounted || latchAfter === null)
    return { atMs: state.tripsAtMs, counted: state.tripCounted, latches: false };
  const { trips, withinMs } = latchAfter;
  const atMs = [...state.tripsAtMs.filter((tripMs) => now - tripMs <= withinMs), now];
  return { atMs, counted: true, latches: atMs.length >= trips };
}

function isGas(finding: string): boolean {
  return finding === 'gas' || finding === 'contradiction';
}

/** A press is a rising edge; a held or taped button gives none. */
function resetPressed(state: MitigationState, situation: Situation): boolean {
  return situation.plant.inputs?.serviceReset === true && !state.resetWasHeld;
}

/**
 * The transitions. Branches on the phase first; fire and a latching trip come before all, in that order.
 */
function nextPhase(
  phase: Phase,
  trips: Trips,
  situation: Situation,
  policy: MitigationPolicy,
  now: Ms,
  reset: boolean,
): Phase {
  const unsafe = situation.sensors.some((sensor) => sensor.findings.some(endsAfterHold));
  if (situation.plant.inputs?.fire === true) return underFire(phase, trips, unsafe, now);
  if (trips.latches) return { kind: 'lockedOut', sinceMs: now, hold: NOT_BEGUN };
  switch (phase.kind) {
    case 'starting':
    case 'running':
      if (unsafe) return { kind: 'mitigating', sinceMs: now };
      if (phase.kind === 'running') return phase;
      return situation.sensors.every((sensor) => sensor.passed) ? { kind: 'running', sinceMs: now } : phase;
    case 'mitigating':
      if (dangerNow(situation)) return phase;
      return { kind: 'holding', sinceMs: now, hold: runClock(NOT_BEGUN, situation, now) };
    case 'holding': {
      if (dangerNow(situation)) return { kind: 'mitigating', sinceMs: now };
      const hold = runClock(phase.hold, situation, now);
      return mayRelease(hold, situation, policy.holdMs, now)
        ? { kind: 'running', sinceMs: now }
        : { ...phase, hold };
    }
    case 'lockedOut': {
      const hold = dangerNow(situation) ? NOT_BEGUN : runClock(phase.hold, situation, now);
      return reset && !unsafe ? { kind: 'holding', sinceMs: now, hold } : { ...phase, hold };
    }
    case 'fire':
      return leaveFire(phase.afterwards, unsafe, now);
  }
}

/** What is found, and what trips, while a fire stands is waiting when the fire is over. */
function underFire(phase: Phase, trips: Trips, unsafe: boolean, now: Ms): Phase {
  const sinceMs = phase.kind === 'fire' ? phase.sinceMs : now;
  if (trips.latches) return { kind: 'fire', sinceMs, afterwards: 'lockedOut' };
  const kept = afterFire(phase);
  return { kind: 'fire', sinceMs, afterwards: unsafe && kept === 'starting' ? 'holding' : kept };
}

/** A mitigation, or a lock-out, that a fire interrupts is not over when the fire is. */
function afterFire(phase: Phase): 'starting' | 'holding' | 'lockedOut' {
  switch (phase.kind) {
    case 'fire':
      return phase.afterwards;
    case 'lockedOut':
      return 'lockedOut';
    case 'mitigating':
    case 'holding':
      return 'holding';
    case 'starting':
    case 'running':
      return 'starting';
  }
}

/**
 * After a fire it is as after a power-up, but a hold that was interrupted begins anew, at its full length.
 */
function leaveFire(kind: 'starting' | 'holding' | 'lockedOut', unsafe: boolean, sinceMs: Ms): Phase {
  if (kind === 'starting') return { kind: unsafe ? 'mitigating' : kind, sinceMs };
  return { kind, sinceMs, hold: NOT_BEGUN };
}

/** Gas at or above the setpoint, or any sign that a sensor cannot be trusted, as of now. */
function dangerNow(situation: Situation): boolean {
  return situation.sensors.some(
    ({ gasNow, findings }) => gasNow || findings.some((one) => !isGas(one) && endsAfterHold(one)),
  );
}

/** The phase that waits for its release to be recorded; its hold clock goes on. */
function withoutRelease(phase: Phase, situation: Situation, now: Ms): Phase {
  return phase.kind === 'holding' ? { ...phase, hold: runClock(phase.hold, situation, now) } : phase;
}

function releaseFact(phase: Phase, now: Ms): Fact {
  const reason =
    phase.kind === 'holding'
      ? 'the hold has passed and every sensor reads below the clearing level'
      : 'every sensor has passed its self-test';
  return { id: 'mitigation.changed', atMs: now, fields: { from: phase.kind, to: 'running', reason } };
}
