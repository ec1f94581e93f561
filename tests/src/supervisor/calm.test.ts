/** A supervisor is calm only at the end of a cycle in which everything was heard, with nothing left to do. */
import { expect, test } from 'vitest';
import { VirtualBench } from '../../../src/app/virtual-bench.ts';
import { calmUntilMs } from '../../../src/supervisor/calm.ts';
import { planOf, type SupervisorState } from '../../../src/supervisor/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';

const RIG = demoRig();
const PLAN = planOf(RIG);
const NOW = ms(120_000);

function benchAt(nowMs: number): VirtualBench {
  const bench = new VirtualBench(RIG, { seed: 1, observe: () => undefined, tell: () => undefined });
  bench.runUntil(ms(nowMs));
  return bench;
}

function stateAt(nowMs: number): SupervisorState {
  const { supervisor } = benchAt(nowMs);
  if (supervisor === null) throw new Error('a controller without power');
  return supervisor;
}

const calm = (change: Partial<SupervisorState>): number =>
  calmUntilMs(PLAN, { ...stateAt(NOW), ...change }, NOW);

test('in an ordinary cycle it is', () => {
  expect(calm({})).toBe(Number.POSITIVE_INFINITY);
});

test('in a hold it is so until the hold has run', () => {
  const bench = benchAt(NOW);
  bench.apply(stepFor(RIG, { testGas: { at: 'coil-a', level: '40 %LFL', lasts: '10 s' } }));
  bench.runUntil(ms(180_000));
  const phase = bench.supervisor?.mitigation.phase;
  if (bench.supervisor === null || phase?.kind !== 'holding') throw new Error('no hold');
  const { runningSinceMs, ranMs } = phase.hold;
  expect(calmUntilMs(PLAN, bench.supervisor, ms(180_000))).toBe(
    (runningSinceMs ?? Number.NaN) + RIG.policy.holdMs - ranMs,
  );
});

const { beliefs, plant, lines, mitigation } = stateAt(NOW);
const [line] = lines;
const [belief] = beliefs;
if (line === undefined || belief?.lastGood === undefined || belief.lastGood === null)
  throw new Error('unheard');
const { heard } = belief.lastGood;
const turn = { task: { kind: 'inputs' }, tries: 0, triesMax: 1 } as const;

test.each<[string, Partial<SupervisorState>]>([
  ['a sensor that owes an answer', { beliefs: beliefs.map((one) => ({ ...one, unansweredSinceMs: NOW })) }],
  [
    'a sensor heard a cycle ago',
    { beliefs: beliefs.map((one) => ({ ...one, lastGood: { atMs: ms(1), heard } })) },
  ],
  ['a counter at rest', { beliefs: beliefs.map((one) => ({ ...one, counterMovedAtMs: ms(1) })) }],
  ['no sensor heard', { beliefs: [] }],
  ['inputs of a cycle ago', { plant: { ...plant, last: plant.last && { ...plant.last, atMs: ms(1) } } }],
  ['a cycle that began before', { lines: [{ ...line, cycleStartMs: ms(1) }] }],
  ['somebody yet to be asked', { lines: [{ ...line, queue: [turn] }] }],
  ['somebody to be asked again', { lines: [{ ...line, spare: [turn] }] }],
  ['a request that is out', { lines: [{ ...line, out: turn }] }],
  ['a write that was not taken', { taken: false }],
  ['a write that is due', { tried: [] }],
  ['airflow that is missing', { mitigation: { ...mitigation, airflowMissingSinceMs: NOW } }],
])('%s: not calm', (_, change) => {
  expect(calm(change)).toBe(Number.NEGATIVE_INFINITY);
});

test('a profile without a counter has none that could rest', () => {
  const without = beliefs.map((one) => ({
    ...one,
    ...{ counterMovedAtMs: ms(1), lastGood: { atMs: NOW, heard: { ...heard, counter: undefined } } },
  }));
  expect(calm({ beliefs: without })).toBe(Number.POSITIVE_INFINITY);
});

test('a compressor that waits for its turn: not calm', () => {
  const bench = benchAt(NOW);
  bench.apply(stepFor(RIG, { call: { cooling: 'on' } }));
  bench.runUntil(ms(NOW + 8000));
  const { supervisor } = bench;
  expect(supervisor?.mitigation.phase.kind).toBe('running');
  expect(supervisor && calmUntilMs(PLAN, supervisor, ms(NOW + 8000))).toBe(Number.NEGATIVE_INFINITY);
});
