/** A drill under the built-in supervisor twice: each poll stepped through, and calm stretches leapt over. */
import fc from 'fast-check';
import type { Drill } from '../../sim/drill/index.ts';
import { TraceRecorder } from '../../sim/drill/trace-recorder.ts';
import type { Trace } from '../../sim/judge/trace.ts';
import { focusOf } from '../../sim/seek/focus.ts';
import { drillOf, plansOf } from '../../sim/seek/plan.ts';
import { VirtualBench } from '../../src/app/virtual-bench.ts';
import type { Fact } from '../../src/events/index.ts';
import type { Rig } from '../../src/rig/index.ts';

interface Ran {
  readonly trace: Trace;
  readonly facts: readonly Fact[];
}

export interface BothWays {
  readonly stepped: Ran;
  readonly leapt: Ran;
  /** Of the drill that was leapt over, 0 to 1. */
  readonly share: number;
}

export function bothWays(drill: Drill): BothWays {
  let leaptMs = 0;
  const run = (leaps: boolean): Ran => {
    const facts: Fact[] = [];
    const recorder = new TraceRecorder(drill.rig, { startMs: 0, asksItself: false });
    const repeat: typeof recorder.repeat = (now, everyMs, times) => {
      const done = recorder.repeat(now, everyMs, times);
      if (done) leaptMs += times * everyMs;
      return done;
    };
    const bench = new VirtualBench(drill.rig, {
      ...{ seed: 1, observe: recorder.observe, tell: (told) => facts.push(...told) },
      ...(leaps && { repeat }),
    });
    bench.apply({ kind: 'call', calls: drill.calls });
    for (const { atMs, step } of drill.steps) {
      bench.runUntil(atMs);
      bench.apply(step);
    }
    bench.runUntil(drill.lengthMs);
    return { trace: recorder.finish(drill.lengthMs), facts };
  };
  return { stepped: run(false), leapt: run(true), share: leaptMs / drill.lengthMs };
}

/** Drills of anything that can happen to a rig. */
export function randomDrills(rig: Rig, seed: number, count: number): readonly Drill[] {
  const plans = plansOf(rig, focusOf({ on: 'anything' }));
  return fc.sample(plans, { seed, numRuns: count }).map((plan) => drillOf(plan, rig));
}
