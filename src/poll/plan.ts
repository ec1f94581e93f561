/**
 * The poll plan of one line: who is asked next.
 *
 * Once a cycle every device of the line has its turn: the field I/O's inputs first, then the living sensors,
 * then the commands are read back, which shows what anybody else wrote since the last time, and written. What
 * is left of the period is spare: one try of whoever has long been known to be silent, retries of whoever has
 * just not answered, then one try each, without retries, of the other silent ones. The first of these turns
 * is taken in any case, so that the dead are heard when they come back, however often the others have to be
 * asked; the rest waits for the next cycle where the period is over, so that the dead never make the living
 * late. A command that changed goes out before anything else. A cycle that took longer than its period is
 * followed by the next at once.
 */
import type { Ms } from '../units/index.ts';

export type Task =
  | { readonly kind: 'inputs' }
  | { readonly kind: 'sensor'; readonly sensor: number }
  | { readonly kind: 'write' }
  | { readonly kind: 'readBack' };

export interface LinePlan {
  readonly id: string;
  readonly pollEveryMs: Ms;
  readonly retries: number;
  /** Indices of the sensors that answer on this line. */
  readonly sensors: readonly number[];
  /** Whether the field I/O hangs on this line. */
  readonly fieldIo: boolean;
}

/** A task with the number of tries it has had. */
interface Turn {
  readonly task: Task;
  readonly tries: number;
  readonly triesMax: number;
}

export interface LineState {
  readonly cycleStartMs: Ms;
  /** Turns that the cycle owes. */
  readonly queue: readonly Turn[];
  /** Turns for what is left of the period: one of the dead, retries, the other dead. */
  readonly spare: readonly Turn[];
  /** This cycle has taken a spare turn. */
  readonly spared: boolean;
  /** The turn that is out on the wire; null between two. */
  readonly out: Turn | null;
}

/** Who counts as known to be silent as a cycle begins. */
export interface Silence {
  readonly sensor: (index: number) => boolean;
  readonly fieldIo: boolean;
}

export type NextTurn =
  | { readonly kind: 'do'; readonly task: Task; readonly state: LineState }
  | { readonly kind: 'wait'; readonly untilMs: Ms };

/** The first cycle is due at once. */
export function startLine(plan: LinePlan, now: Ms): LineState {
  return { cycleStartMs: (now - plan.pollEveryMs) as Ms, queue: [], spare: [], spared: true, out: null };
}

export function nextTurn(
  plan: LinePlan,
  state: LineState,
  silence: Silence,
  writeNow: boolean,
  now: Ms,
): NextTurn {
  if (writeNow && plan.fieldIo) return taken(once(WRITE), state);
  const [owed, ...owedLater] = state.queue;
  if (owed !== undefined) return taken(owed, { ...state, queue: owedLater });
  const dueMs = (state.cycleStartMs + plan.pollEveryMs) as Ms;
  const [spare, ...spareLater] = state.spare;
  if (spare !== undefined && (now < dueMs || !state.spared)) {
    return taken(spare, { ...state, spare: spareLater, spared: true });
  }
  if (now < dueMs) return { kind: 'wait', untilMs: dueMs };
  // Keeping the period's phase spares the line a drift; after an overrun the phase starts anew.
  const cycleStartMs = now - dueMs < plan.pollEveryMs ? dueMs : now;
  const begun = newCycle(plan, state, silence, cycleStartMs);
  return begun.queue.length + begun.spare.length === 0
    ? { kind: 'wait', untilMs: (cycleStartMs + plan.pollEveryMs) as Ms }
    : nextTurn(plan, begun, silence, false, now);
}

/** Puts the finished turn away; one that went unanswered comes again while tries are left. */
export function turnDone(state: LineState, answered: boolean): LineState {
  const { out } = state;
  if (out === null) throw new Error('a turn ended that never began');
  const tries = out.tries + 1;
  if (answered || tries >= out.triesMax) return { ...state, out: null };
  const isRetry = (turn: Turn): boolean => turn.tries > 0;
  const retries = [...state.spare.filter(isRetry), { ...out, tries }];
  const dead = state.spare.filter((turn) => !isRetry(turn));
  const ahead = state.spared ? 0 : 1;
  return { ...state, out: null, spare: [...dead.slice(0, ahead), ...retries, ...dead.slice(ahead)] };
}

const INPUTS: Task = { kind: 'inputs' };
const WRITE: Task = { kind: 'write' };
const READ_BACK: Task = { kind: 'readBack' };

function once(task: Task): Turn {
  return { task, tries: 0, triesMax: 1 };
}

function taken(turn: Turn, state: LineState): NextTurn {
  return { kind: 'do', task: turn.task, state: { ...state, out: turn } };
}

function newCycle(plan: LinePlan, last: LineState, silence: Silence, cycleStartMs: Ms): LineState {
  const retried = (task: Task): Turn => ({ task, tries: 0, triesMax: plan.retries + 1 });
  const living = plan.sensors.filter((sensor) => !silence.sensor(sensor));
  const asked = living.map((sensor) => retried({ kind: 'sensor', sensor }));
  const commands = [once(READ_BACK), once(WRITE)];
  const fieldIoHeard = plan.fieldIo && !silence.fieldIo;
  const queue = fieldIoHeard
    ? [retried(INPUTS), ...asked, ...commands]
    : [...asked, ...(plan.fieldIo ? [once(INPUTS), ...commands] : [])];
  // Whoever the last cycle had no time for comes first.
  const waited = last.spare.flatMap(({ task }) => (task.kind === 'sensor' ? [task.sensor] : []));
  const dead = [...waited, ...plan.sensors].filter((sensor) => silence.sensor(sensor));
  const spare = [...new Set(dead)].map((sensor) => once({ kind: 'sensor', sensor }));
  return { cycleStartMs, queue, spare, spared: false, out: null };
}
