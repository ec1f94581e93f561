/**
 * The poll plan of one line: who is asked next.
 *
 * Once a cycle every device of the line is asked once: the field I/O's inputs first, then the living
 * sensors, then the commands are written and read back, and last, once and without retries, whoever is
 * known to be silent: the dead never make the living late. A command that changed goes out before anything
 * else. A cycle that took longer than its period is followed by the next at once.
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
  readonly queue: readonly Turn[];
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
  return { cycleStartMs: (now - plan.pollEveryMs) as Ms, queue: [], out: null };
}

export function nextTurn(
  plan: LinePlan,
  state: LineState,
  silence: Silence,
  writeNow: boolean,
  now: Ms,
): NextTurn {
  if (writeNow && plan.fieldIo) return taken({ task: WRITE, tries: 0, triesMax: 1 }, state, state.queue);
  const [first, ...others] = state.queue;
  if (first !== undefined) return taken(first, state, others);
  const dueMs = (state.cycleStartMs + plan.pollEveryMs) as Ms;
  if (now < dueMs) return { kind: 'wait', untilMs: dueMs };
  // Keeping the period's phase spares the line a drift; after an overrun the phase starts anew.
  const startMs = now - dueMs < plan.pollEveryMs ? dueMs : now;
  const [head, ...rest] = cycle(plan, silence);
  const begun = { ...state, cycleStartMs: startMs };
  if (head === undefined) return { kind: 'wait', untilMs: (startMs + plan.pollEveryMs) as Ms };
  return taken(head, begun, rest);
}

/** Puts the finished turn away; one that went unanswered comes again at once while tries are left. */
export function turnDone(state: LineState, answered: boolean): LineState {
  const { out } = state;
  if (out === null) throw new Error('a turn ended that never began');
  const tries = out.tries + 1;
  const again = !answered && tries < out.triesMax;
  return { ...state, out: null, queue: again ? [{ ...out, tries }, ...state.queue] : state.queue };
}

const INPUTS: Task = { kind: 'inputs' };
const WRITE: Task = { kind: 'write' };
const READ_BACK: Task = { kind: 'readBack' };

function taken(turn: Turn, state: LineState, queue: readonly Turn[]): NextTurn {
  return { kind: 'do', task: turn.task, state: { ...state, queue, out: turn } };
}

function cycle(plan: LinePlan, silence: Silence): readonly Turn[] {
  const once = (task: Task): Turn => ({ task, tries: 0, triesMax: 1 });
  const retried = (task: Task): Turn => ({ task, tries: 0, triesMax: plan.retries + 1 });
  const ask = (sensor: number): Task => ({ kind: 'sensor', sensor });
  const living = plan.sensors.filter((sensor) => !silence.sensor(sensor));
  const dead = plan.sensors.filter((sensor) => silence.sensor(sensor));
  const fieldIo = plan.fieldIo ? [once(WRITE), once(READ_BACK)] : [];
  const heard = plan.fieldIo && !silence.fieldIo;
  return [
    ...(heard ? [retried(INPUTS)] : []),
    ...living.map((sensor) => retried(ask(sensor))),
    ...(heard ? fieldIo : []),
    ...(plan.fieldIo && !heard ? [once(INPUTS), ...fieldIo] : []),
    ...dead.map((sensor) => once(ask(sensor))),
  ];
}
