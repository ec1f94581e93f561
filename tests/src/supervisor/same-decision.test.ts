/** An answer that a decision does not wait for must be one that would have changed nothing. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { lookAgain } from '../../../src/supervisor/index.ts';
import { Outside } from './outside.ts';
import type { Says } from './tiny-rig.ts';

const SENSORS = ['coil-a', 'coil-b'] as const;
const SECONDS_MAX = 15;

type Happens = (bench: Outside) => unknown;

function says(changes: Partial<Says>): fc.Arbitrary<Happens> {
  return fc.constantFrom(...SENSORS).map((sensor) => (bench: Outside) => bench.say(sensor, changes));
}

const happens: fc.Arbitrary<Happens> = fc.oneof(
  fc.tuple(fc.constantFrom(...SENSORS), fc.constantFrom(0, 0.3, 5, 17, 19, 20, 60)).map(
    ([sensor, level]) =>
      (bench: Outside) =>
        bench.gas(sensor, level),
  ),
  says({ answers: false }),
  says({ answers: true }),
  says({ state: 'failed' }),
  says({ state: 'warming-up', selfTestPassed: false }),
  says({ state: 'measuring', selfTestPassed: true, counterStands: false }),
  says({ counterStands: true }),
  says({ gas: null }),
  says({ serial: 'another' }),
  fc.boolean().map((on) => (bench: Outside) => Object.assign(bench.calls, { cooling: on })),
  fc.boolean().map((on) => (bench: Outside) => Object.assign(bench, { writesArrive: on })),
  fc.boolean().map((on) => (bench: Outside) => Object.assign(bench, { fire: on, ioAnswers: !on })),
);

function answers(bench: Outside): number {
  return [...bench.answered.values()].reduce((sum, { length }) => sum + length, 0);
}

let passedOver = 0;

/** Lets time pass; where an answer came and nothing was decided, a decision must find nothing new. */
function passes(bench: Outside, untilMs: number): void {
  while (bench.nowMs < untilMs) {
    const before = answers(bench);
    const { mitigation } = bench.state;
    bench.run(bench.nowMs + 1);
    if (answers(bench) === before || bench.state.mitigation !== mitigation) continue;
    passedOver += 1;
    const again = lookAgain(bench.plan, bench.state, bench.nowMs);
    expect(again.facts).toEqual([]);
    expect(again.state.mitigation).toEqual(bench.state.mitigation);
    expect(again.state.told).toEqual(bench.state.told);
  }
}

test('whatever the sensors say, no answer is passed over that a decision would have followed', () => {
  const history = fc.array(fc.tuple(happens, fc.integer({ min: 1, max: SECONDS_MAX })), { maxLength: 8 });
  fc.assert(
    fc.property(history, (all) => {
      const bench = new Outside();
      bench.calls.cooling = true;
      passes(bench, 12_000);
      for (const [happen, seconds] of all) {
        happen(bench);
        passes(bench, bench.nowMs + seconds * 1000);
      }
    }),
    { numRuns: 12 },
  );
  expect(passedOver).toBeGreaterThan(300);
});
