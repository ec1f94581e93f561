/**
 * The built-in supervisor of a rig that it has been told wrong: the world and the judge keep to the right
 * one.
 */

import type { Drill } from '../../sim/drill/index.ts';
import { TraceRecorder } from '../../sim/drill/trace-recorder.ts';
import { BuiltIn } from '../../src/app/drill/built-in.ts';
import type { DrillRun } from '../../src/app/drill/run.ts';
import { VirtualWorld } from '../../src/app/virtual-world.ts';
import type { Policy, Rig } from '../../src/rig/index.ts';
import { type Judged, judged } from './judged.ts';

const SEED = 1;

export function supervisedAs(drill: Drill, believed: (rig: Rig) => Rig): Judged {
  return judged(drill, runSupervised(drill, SEED, believed));
}

export function runSupervised(drill: Drill, seed: number, believed: (rig: Rig) => Rig): DrillRun {
  const { rig, calls, steps, lengthMs } = drill;
  const recorder = new TraceRecorder(rig, { startMs: 0, asksItself: false });
  const virtual = new VirtualWorld(rig, seed, recorder.observe);
  const controller = new BuiltIn(
    believed(rig),
    (line, unitId, pdu, now) => virtual.world.serve(line, unitId, pdu, now),
    () => undefined,
  );
  virtual.power.controller = {
    set: (on) => {
      controller.power(on, virtual.world.nowMs);
    },
  };
  const runUntil = (untilMs: Drill['lengthMs']): void => {
    for (const now of virtual.moments(untilMs, () => controller.nextDueMs())) controller.wake(now);
  };
  const leftOut: string[] = [];
  virtual.apply({ kind: 'call', calls });
  for (const { atMs, step } of steps) {
    runUntil(atMs);
    const problem = virtual.apply(step);
    if (problem !== null) leftOut.push(problem);
  }
  runUntil(lengthMs);
  const trace = recorder.finish(lengthMs);
  return { trace, leftOut, facts: [], trouble: [], pollReport: null, heldUp: null };
}

export function withPolicy(other: Partial<Policy>): (rig: Rig) => Rig {
  return (rig) => ({ ...rig, policy: { ...rig.policy, ...other } });
}
