/**
 * How many random drills a second the search tries under the built-in supervisor, told in drills of 20
 * simulated minutes: on one core, and on two beside it. Each is measured in turn in one run.
 */
import { performance } from 'node:perf_hooks';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { focusOf } from '../../sim/seek/focus.ts';
import type { BatchOrder } from '../../sim/seek/index.ts';
import { plansOf } from '../../sim/seek/plan.ts';
import { executorOf, threadPool, type Workforce } from '../../src/app/seek/executors.ts';
import { packed } from '../../src/app/seek/packed-rig.ts';
import { demoRig } from '../helpers/demo.ts';
import { figure, keepFigures } from './figures.ts';

const ROUNDS = 4;
const BATCHES = 64;
const DRILLS_A_BATCH = 4;
const MS_PER_DRILL = 1_200_000;
const LIMIT_MS = 600_000;
const FOCUS = { on: 'anything' } as const;

test('drills a second, one core beside two', { timeout: LIMIT_MS }, async () => {
  const [one, two] = [threadsBeside(1), threadsBeside(2)];
  const plans = plansOf(demoRig(), focusOf(FOCUS));
  const rates: { one: number; two: number }[] = [];
  for (let round = 0; round < ROUNDS; round += 1) {
    const orders = Array.from({ length: BATCHES }, (_, batch): BatchOrder => {
      const seed = 1 + round * BATCHES + batch;
      return { seed, focus: FOCUS, drills: DRILLS_A_BATCH, twice: false };
    });
    const simulatedMs = orders
      .flatMap(({ seed }) => fc.sample(plans, { seed, numRuns: DRILLS_A_BATCH }))
      .reduce((sum, { lengthMs }) => sum + lengthMs, 0);
    const drills = simulatedMs / MS_PER_DRILL;
    rates.push({ one: drills / (await seconds(one, orders)), two: drills / (await seconds(two, orders)) });
  }
  await Promise.all([one.close(), two.close()]);
  const of = (cores: 'one' | 'two'): readonly number[] => rates.map((rate) => rate[cores]);
  const peer = { name: 'one core', values: of('one') };
  keepFigures([
    figure('search, one core', 'drills of 20 min/s', of('one'), null, '800'),
    figure('search, two cores', 'drills of 20 min/s', of('two'), peer, '1.9'),
  ]);
  expect(Math.min(...of('one'))).toBeGreaterThan(0);
});

/** This thread runs its sources as a test does, which is slower: it only hands out. */
function threadsBeside(count: number): Workforce {
  const pool = threadPool(count);
  const setup = { rig: packed(demoRig()), command: null };
  return { executor: executorOf(count, (order) => pool.done(setup, order)), close: pool.close };
}

async function seconds({ executor }: Workforce, orders: readonly BatchOrder[]): Promise<number> {
  const began = performance.now();
  await Promise.all(orders.map((order) => executor.batch(order)));
  return (performance.now() - began) / 1000;
}
