/**
 * The supervisor as one step: poll, belief, mitigation and commands, without a clock or a socket.
 *
 * A host asks `nextTask` what to do on each line, does it, and hands the outcome to `taskDone`. The live
 * shell does so over sockets, the virtual host against the simulated wire; both run this same code.
 */
import {
  foldInputs,
  foldOutcome,
  isPlantSilent,
  isSilent,
  nextFindingMs,
  PLANT_UNHEARD,
  plantSilentAtMs,
  UNHEARD,
} from '../belief/index.ts';
import type { Fact } from '../events/index.ts';
import {
  type Commands,
  type MitigationState,
  type PowerUp,
  powerUpState,
  stepMitigation,
} from '../mitigation/index.ts';
import { type LineState, nextTurn, startLine, type Task, type Timed, turnDone } from '../poll/index.ts';
import { COMPRESSOR_COIL_FIRST } from '../rig/index.ts';
import type { Ms } from '../units/index.ts';
import { areHeld, coilsOf, sameCoils } from './field-io.ts';
import type { SupervisorPlan } from './plan.ts';
import { readingFact } from './reading-facts.ts';
import { decidesTheSame } from './same-decision.ts';
import { type Beliefs, situationOf } from './situation.ts';
import { heardFrom, inputsFrom, type Words } from './understand.ts';

export interface SupervisorState extends Beliefs {
  readonly mitigation: MitigationState;
  readonly lines: readonly LineState[];
  /** Coils of the last write that was tried; null before the first. */
  readonly tried: readonly boolean[] | null;
  /** That write was answered, so the field I/O holds these coils. */
  readonly taken: boolean;
  /** How often these coils were tried in vain, the last time included. */
  readonly triedInVain: number;
  /** By sensor: the reading last told, so that small changes do not fill the record. */
  readonly told: readonly (number | null)[];
}

export interface SupervisorStep {
  readonly state: SupervisorState;
  readonly facts: readonly Fact[];
  /** To be recorded before `recorded` may be called; see stepMitigation. */
  readonly release: Fact | null;
}

export type NextTask =
  | {
      readonly kind: 'do';
      readonly task: Task;
      readonly coils: readonly boolean[];
      readonly state: SupervisorState;
    }
  | { readonly kind: 'wait'; readonly untilMs: Ms };

export function startSupervisor(plan: SupervisorPlan, powerUp: PowerUp, now: Ms): SupervisorState {
  return {
    beliefs: plan.sensors.map(() => UNHEARD),
    plant: PLANT_UNHEARD,
    mitigation: powerUpState(plan.circuits.length, powerUp, now),
    lines: plan.lines.map((line) => startLine(line, now)),
    tried: null,
    taken: false,
    triedInVain: 0,
    compressorOffSinceMs: plan.circuits.map(() => null),
    overwritten: false,
    untakenSinceMs: null,
    told: plan.sensors.map(() => null),
  };
}

/** What to do next on a line, or until when there is nothing to do. */
export function nextTask(plan: SupervisorPlan, state: SupervisorState, line: number, now: Ms): NextTask {
  const linePlan = plan.lines[line];
  const lineState = state.lines[line];
  if (linePlan === undefined || lineState === undefined) throw new Error(`no line ${line}`);
  const coils = coilsFor(state.mitigation.commands);
  const silence = {
    sensor: (index: number) => (state.beliefs[index]?.unansweredSinceMs ?? null) !== null,
    fieldIo: state.plant.unansweredSinceMs !== null,
  };
  const turn = nextTurn(linePlan, lineState, silence, isWriteDue(plan, state), now);
  if (turn.kind === 'wait') return turn;
  const lines = withLine(state, line, turn.state);
  if (turn.task.kind !== 'write') return { kind: 'do', task: turn.task, coils, state: { ...state, lines } };
  const isAgain = state.tried !== null && sameCoils(coils, state.tried);
  const triedInVain = isAgain ? state.triedInVain : 0;
  return { kind: 'do', task: turn.task, coils, state: { ...state, tried: coils, triedInVain, lines } };
}

/**
 * Whether the commands go out before anything else: the first ones once the inputs are known, all that have
 * changed since, and as often again as the line retries if a write of them was lost.
 */
export function isWriteDue(plan: SupervisorPlan, state: SupervisorState): boolean {
  const { tried, plant } = state;
  if (tried === null) return plant.last !== null;
  if (!sameCoils(coilsFor(state.mitigation.commands), tried)) return true;
  // Whoever does not answer takes no commands either, and must not keep the sensors waiting.
  if (state.taken || plant.unansweredSinceMs !== null) return false;
  const retries = plan.lines.find(({ fieldIo }) => fieldIo)?.retries ?? 0;
  return state.triedInVain > 0 && state.triedInVain <= retries;
}

const COILS_KNOWN = new WeakMap<Commands, readonly boolean[]>();

/** Commands hardly ever change and are looked at with every task. */
function coilsFor(commands: Commands): readonly boolean[] {
  const known = COILS_KNOWN.get(commands);
  if (known !== undefined) return known;
  const coils = coilsOf(commands);
  COILS_KNOWN.set(commands, coils);
  return coils;
}

/** Takes in what a task brought, and decides. */
export function taskDone(
  plan: SupervisorPlan,
  state: SupervisorState,
  line: number,
  task: Task,
  poll: Timed<Words>,
): SupervisorStep {
  const lineState = state.lines[line];
  if (lineState === undefined) throw new Error(`no line ${line}`);
  const answered = poll.outcome.kind === 'answered' || poll.outcome.kind === 'refused';
  const put = { ...state, lines: withLine(state, line, turnDone(lineState, answered)) };
  // An answer ends a silence, and a host that was stopped may not have seen that there was one.
  const seen = endsSilence(plan, put, task, poll) ? decide(plan, put, poll.doneAtMs, false) : null;
  const before = seen?.state ?? put;
  const taken = takeIn(plan, before, task, poll);
  // A write that was taken, and read back as it was written, is no news, nor is a sensor that says the same.
  const isOld = task.kind === 'sensor' && decidesTheSame(plan, before, taken, task.sensor, poll.doneAtMs);
  const step =
    isNews(before, taken) && !isOld
      ? decide(plan, taken, poll.doneAtMs, false)
      : { state: taken, ...NOTHING_NEW };
  return seen === null ? step : { ...step, facts: [...seen.facts, ...step.facts] };
}

function endsSilence(plan: SupervisorPlan, state: SupervisorState, task: Task, poll: Timed<Words>): boolean {
  if (poll.outcome.kind !== 'answered') return false;
  if (task.kind === 'inputs') return isPlantSilent(state.plant, plan.limits, poll.doneAtMs);
  if (task.kind !== 'sensor') return false;
  return isSilent(state.beliefs[task.sensor] ?? UNHEARD, plan.limits, poll.doneAtMs);
}

const NOTHING_NEW = { facts: [], release: null } as const;

function isNews(before: SupervisorState, after: SupervisorState): boolean {
  return (
    before.beliefs !== after.beliefs ||
    before.plant !== after.plant ||
    before.compressorOffSinceMs !== after.compressorOffSinceMs ||
    before.overwritten !== after.overwritten ||
    before.untakenSinceMs !== after.untakenSinceMs
  );
}

/** Looks again without news: a silence may have become too long. */
export function lookAgain(plan: SupervisorPlan, state: SupervisorState, now: Ms): SupervisorStep {
  return decide(plan, state, now, false);
}

/** The release is on record: now it may happen. */
export function recorded(plan: SupervisorPlan, state: SupervisorState, now: Ms): SupervisorStep {
  return decide(plan, state, now, true);
}

/** When to look again at the latest, should nothing come of the wire before. */
export function nextLookMs(plan: SupervisorPlan, state: SupervisorState, now: Ms): Ms {
  const plantMs = plantSilentAtMs(state.plant, plan.limits);
  const dueMs = [plantMs, ...state.beliefs.map((belief) => nextFindingMs(belief, plan.limits))];
  return Math.min(...dueMs.filter((atMs) => atMs > now)) as Ms;
}

function withLine(state: SupervisorState, line: number, lineState: LineState): readonly LineState[] {
  const lines = [...state.lines];
  lines[line] = lineState;
  return lines;
}

function takeIn(
  plan: SupervisorPlan,
  state: SupervisorState,
  task: Task,
  poll: Timed<Words>,
): SupervisorState {
  switch (task.kind) {
    case 'inputs':
      return { ...state, plant: foldInputs(state.plant, inputsFrom(poll, plan)) };
    case 'sensor': {
      const beliefs = [...state.beliefs];
      const before = beliefs[task.sensor] ?? UNHEARD;
      beliefs[task.sensor] = foldOutcome(before, heardFrom(poll, plan, task.sensor), plan.limits);
      return { ...state, beliefs };
    }
    case 'write':
      return written(state, poll);
    case 'readBack': {
      // After a write that may have been lost, other coils would prove nothing against anybody.
      if (poll.outcome.kind !== 'answered' || state.tried === null || !state.taken) return state;
      return { ...state, overwritten: !areHeld(state.tried, poll.outcome.answer[0] ?? []) };
    }
  }
}

/**
 * A write without an answer may have been carried out or not: a coil it turns on may be on, one off may
 * not.
 */
function written(state: SupervisorState, poll: Timed<Words>): SupervisorState {
  const taken = poll.outcome.kind === 'answered';
  const compressorOffSinceMs = state.compressorOffSinceMs.map((sinceMs, circuit) => {
    if (state.tried?.[COMPRESSOR_COIL_FIRST + circuit] !== false) return null;
    return sinceMs ?? (taken ? poll.doneAtMs : null);
  });
  const isSame = compressorOffSinceMs.every(
    (sinceMs, index) => sinceMs === state.compressorOffSinceMs[index],
  );
  return {
    ...state,
    taken,
    triedInVain: taken ? 0 : state.triedInVain + 1,
    untakenSinceMs: taken ? null : (state.untakenSinceMs ?? poll.doneAtMs),
    compressorOffSinceMs: isSame ? state.compressorOffSinceMs : compressorOffSinceMs,
  };
}

function decide(plan: SupervisorPlan, state: SupervisorState, now: Ms, isRecorded: boolean): SupervisorStep {
  const situation = situationOf(plan, state, now);
  const step = stepMitigation(state.mitigation, situation, plan.policy, now, isRecorded);
  const readings = plan.sensors.map((sensor, index) =>
    readingFact(sensor, state.beliefs[index] ?? UNHEARD, state.told[index] ?? null, now),
  );
  const news = readings.filter((fact) => fact !== null);
  const toldNow = (before: number | null, index: number): number | null =>
    readings[index]?.fields === undefined ? before : readings[index].fields.percentLfl;
  const told = news.length === 0 ? state.told : state.told.map(toldNow);
  return {
    state: { ...state, told, mitigation: step.state },
    facts: news.length === 0 ? step.facts : [...news, ...step.facts],
    release: step.release,
  };
}
