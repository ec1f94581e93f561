/**
 * How fast virtual time runs: the demo rig under the built-in supervisor, polled every second, with its trace
 * and its judge, beside a bare loop that does only the matrix products of its three sensors. Both are
 * measured in turn in one run, and the ratio is what counts: a machine is as fast as it is.
 */
import { performance } from 'node:perf_hooks';
import { expect, test } from 'vitest';
import { TraceRecorder } from '../../sim/drill/trace-recorder.ts';
import { judge, RULE_IDS, type Trace } from '../../sim/judge/index.ts';
import { Atmosphere } from '../../sim/world/atmosphere.ts';
import { judgedPolicy } from '../../src/app/drill/judged-policy.ts';
import { VirtualBench } from '../../src/app/virtual-bench.ts';
import { ms } from '../../src/units/index.ts';
import { demoRig } from '../helpers/demo.ts';
import { figure, keepFigures } from './figures.ts';

const RIG = demoRig();
const HOURS = 2;
const MS_PER_H = 3_600_000;
const ROUNDS = 5;
const END_MS = HOURS * MS_PER_H;
/** Far below the setpoint: numbers move all the time, and nothing trips. */
const SEEP_KG_PER_S = 2e-6;

test('virtual time over real time', () => {
  const rounds = Array.from({ length: ROUNDS }, () => ({
    bare: realMs(bareLoop),
    ring: realMs(ring),
    judged: realMs(() => {
      judgeAll(ring());
    }),
  }));
  const speeds = (name: 'bare' | 'ring' | 'judged'): readonly number[] =>
    rounds.map((round) => END_MS / round[name]);
  const peer = { name: 'a bare loop of its sensors', values: speeds('bare') };
  keepFigures([
    figure('virtual time, the whole ring, traced', 'x real time', speeds('ring'), peer),
    figure('virtual time, traced and judged', 'x real time', speeds('judged'), peer),
  ]);
});

/** What the gas alone costs: each sensor brought up to date each second. */
function bareLoop(): void {
  const air = new Atmosphere(RIG, ms(0));
  air.setRelease('cabinet', SEEP_KG_PER_S, ms(0));
  for (let atMs = 1000; atMs <= END_MS; atMs += 1000) {
    RIG.sensors.forEach((_, sensor) => {
      air.sensed(sensor, ms(atMs));
    });
  }
}

function ring(): Trace {
  const recorder = new TraceRecorder(RIG, { startMs: 0, asksItself: false });
  const bench = new VirtualBench(RIG, { seed: 1, observe: recorder.observe, tell: () => undefined });
  bench.apply({ kind: 'call', calls: { cooling: true } });
  bench.apply({ kind: 'release', at: 'cabinet', rateKgPerS: SEEP_KG_PER_S, lastsMs: null });
  bench.runUntil(ms(END_MS));
  return recorder.finish(END_MS);
}

function judgeAll(trace: Trace): void {
  const results = judge(trace, judgedPolicy(RIG), RULE_IDS);
  expect(results.filter(({ result }) => result === 'broken')).toEqual([]);
}

function realMs(work: () => unknown): number {
  const began = performance.now();
  work();
  return performance.now() - began;
}
