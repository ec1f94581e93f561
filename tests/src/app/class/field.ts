/** The field view of the demo rig after a course of steps, in virtual time, with the built-in supervisor. */

import { siteOf } from '../../../../sim/world/site.ts';
import type { FieldView } from '../../../../src/api/class-schema.ts';
import { fieldView } from '../../../../src/app/class/field-view.ts';
import { VirtualBench } from '../../../../src/app/virtual-bench.ts';
import type { Rig } from '../../../../src/rig/index.ts';
import { planOf, supervisorSnapshot } from '../../../../src/supervisor/index.ts';
import { ms } from '../../../../src/units/index.ts';
import { demoRig, stepFor } from '../../../helpers/demo.ts';

export type Timed = readonly [atMs: number, step: unknown];

export const RIG = demoRig();

/** `elsewhere`: as where another controller drives the rig. */
export function fieldAfter(
  steps: readonly Timed[],
  untilMs: number,
  { elsewhere = false, rig = RIG }: { readonly elsewhere?: boolean; readonly rig?: Rig } = {},
): FieldView {
  const bench = new VirtualBench(rig, { seed: 1, observe: () => undefined, tell: () => undefined });
  for (const [atMs, step] of steps) {
    bench.runUntil(ms(atMs));
    const problem = bench.apply(stepFor(rig, step));
    if (problem !== null) throw new Error(problem);
  }
  bench.runUntil(ms(untilMs));
  const state = bench.supervisor;
  const shows = state === null ? null : supervisorSnapshot(planOf(rig), state, ms(untilMs));
  return fieldView({
    rig,
    site: siteOf(bench.world, ms(untilMs)),
    display: elsewhere ? 'elsewhere' : shows,
    clock: { nowMs: untilMs, speed: 1, paused: false },
  });
}

export function voltsAt(view: FieldView, terminal: string): number {
  const found = view.terminals.find(({ id }) => id === terminal);
  if (found === undefined) throw new Error(`no terminal ${terminal}`);
  return found.volts;
}

export function sensorIn(view: FieldView, sensor: string): FieldView['sensors'][number] {
  const found = view.sensors.find(({ id }) => id === sensor);
  if (found === undefined) throw new Error(`no sensor ${sensor}`);
  return found;
}
