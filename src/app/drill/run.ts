/** A drill in virtual time, under the built-in supervisor or a controller that is spoken to in lines. */
import type { Drill } from '../../../sim/drill/drill.ts';
import { TraceRecorder } from '../../../sim/drill/trace-recorder.ts';
import type { Trace } from '../../../sim/judge/trace.ts';
import type { PollReport } from '../../../sim/poll-report/index.ts';
import type { Fact } from '../../events/index.ts';
import { ms } from '../../units/index.ts';
import { EXIT, Stop } from '../stop.ts';
import { VirtualBench } from '../virtual-bench.ts';
import { VirtualWorld } from '../virtual-world.ts';
import { ExecController, type Partner } from './exec-controller.ts';
import { NotStarted, PartnerError } from './line-process.ts';

export interface DrillRun {
  readonly trace: Trace;
  /** What the built-in supervisor stated; empty for any other controller. */
  readonly facts: readonly Fact[];
  /** Why the controller could not be judged to the end: sentences, then its last lines. */
  readonly trouble: readonly string[];
  /** What the drill asks for and nobody did, each with the reason. */
  readonly leftOut: readonly string[];
  /** What a controller of somebody else asked over the wire; null for any other. */
  readonly pollReport: PollReport | null;
  /** How late the machine itself was, in a sentence; null where it was not, and in virtual time. */
  readonly heldUp: string | null;
}

/** No socket, no promise, no sleep: the same drill and seed give the same run, always. */
export function runBuiltIn(drill: Drill, seed: number): DrillRun {
  const facts: Fact[] = [];
  const leftOut: string[] = [];
  const recorder = new TraceRecorder(drill.rig, { startMs: 0, asksItself: false });
  const bench = new VirtualBench(drill.rig, {
    seed,
    observe: recorder.observe,
    repeat: recorder.repeat,
    tell: (told) => {
      facts.push(...told);
    },
  });
  bench.apply({ kind: 'call', calls: drill.calls });
  for (const { atMs, step } of drill.steps) {
    bench.runUntil(atMs);
    const problem = bench.apply(step);
    if (problem !== null) leftOut.push(refusalNote(atMs, problem));
  }
  bench.runUntil(drill.lengthMs);
  return {
    trace: recorder.finish(drill.lengthMs),
    facts,
    trouble: [],
    leftOut,
    pollReport: null,
    heldUp: null,
  };
}

/** `start` is called at every power-up of the controller. Rejects with Stop where it cannot be started. */
export async function runInLines(drill: Drill, seed: number, start: () => Partner): Promise<DrillRun> {
  const leftOut: string[] = [];
  const recorder = new TraceRecorder(drill.rig, { startMs: 0, asksItself: true });
  const virtual = new VirtualWorld(drill.rig, seed, recorder.observe);
  const controller = new ExecController(start, drill.rig, (line, unitId, pdu, now) =>
    virtual.world.serve(line, unitId, pdu, now),
  );
  virtual.power.controller = {
    set: (on) => {
      controller.power(on, virtual.world.nowMs);
    },
  };
  const runUntil = async (untilMs: number): Promise<void> => {
    const moments = virtual.moments(ms(untilMs), () => controller.nextDueMs());
    for (const now of moments) await controller.wake(now);
  };
  const done = (trouble: readonly string[]): DrillRun => {
    const endMs = trouble.length === 0 ? drill.lengthMs : virtual.nowMs;
    return { trace: recorder.finish(endMs), facts: [], trouble, leftOut, pollReport: null, heldUp: null };
  };
  try {
    virtual.apply({ kind: 'call', calls: drill.calls });
    for (const { atMs, step } of drill.steps) {
      await runUntil(atMs);
      const problem = virtual.apply(step);
      if (problem !== null) leftOut.push(refusalNote(atMs, problem));
    }
    await runUntil(drill.lengthMs);
    return done([]);
  } catch (error) {
    if (!(error instanceof PartnerError)) throw error;
    // One that started once, and after a power cut does not, is a controller to be judged.
    if (error instanceof NotStarted && virtual.nowMs === 0) {
      throw new Stop(EXIT.surroundings, notStartedText(error, controller.tail));
    }
    const seconds = virtual.nowMs / 1000;
    return done([`at ${seconds} s of the drill the controller ${error.message}`, ...controller.tail]);
  } finally {
    await controller.close();
  }
}

function notStartedText({ message }: NotStarted, tail: readonly string[]): string {
  const said = tail.map((line) => `\n  ${line}`).join('');
  return `the command of --controller could not be run: it ${message}; check its name and path${said}`;
}

/** What is said of a step that was not carried out. */
export function refusalNote(atMs: number, problem: string): string {
  return `the step at ${atMs / 1000} s was not carried out: ${problem}`;
}
