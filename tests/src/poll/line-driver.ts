/** Runs one line against a wire that takes as long, and answers as often, as a test says. */
import {
  type LinePlan,
  nextTurn,
  type Silence,
  startLine,
  type Task,
  turnDone,
} from '../../../src/poll/index.ts';
import { ms } from '../../../src/units/index.ts';

export const SECOND = ms(1000);
export const HEARD: Silence = { sensor: () => false, fieldIo: false };

export interface Done {
  readonly task: Task;
  readonly atMs: number;
}

export interface Drive {
  /** Turns that begin after this are not taken. */
  readonly untilMs: number;
  readonly takesMs: (task: Task) => number;
  readonly silence?: Silence;
  readonly answers?: (name: string) => boolean;
  /** Asked at every look; looks come every 100 ms while the line waits. */
  readonly writeNow?: (now: number) => boolean;
}

const LOOK_MS = 100;

export function driveLine(plan: LinePlan, drive: Drive): readonly Done[] {
  const { silence = HEARD, answers = () => true, writeNow = () => false } = drive;
  const done: Done[] = [];
  let written = Number.NEGATIVE_INFINITY;
  let now = ms(0);
  let state = startLine(plan, now);
  while (now <= drive.untilMs) {
    const wanted = writeNow(now) && written < now;
    const next = nextTurn(plan, state, silence, wanted, now);
    if (next.kind === 'wait') {
      now = ms(Math.min(next.untilMs, now + LOOK_MS));
      continue;
    }
    if (next.task.kind === 'write') written = now;
    done.push({ task: next.task, atMs: now });
    now = ms(now + drive.takesMs(next.task));
    state = turnDone(next.state, answers(taskName(next.task)));
  }
  return done;
}

export function taskName(task: Task): string {
  return task.kind === 'sensor' ? `sensor ${task.sensor}` : task.kind;
}
