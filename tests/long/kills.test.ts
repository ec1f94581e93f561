/** 500 kills at random moments: 350 of a supervisor alone, beside it 150 of a whole bench in a drill. */
import { expect, test } from 'vitest';
import { killBench, killPlan, killSupervisor, quickDrill } from '../helpers/killed.ts';

const HOUR_MS = 3_600_000;

test.concurrent('a supervisor that is killed 350 times', { timeout: HOUR_MS, retry: 0 }, async () => {
  const { kills, wrong, acknowledged, starts } = await killSupervisor(killPlan(300, 5));
  console.log(`${kills} kills of a supervisor, ${acknowledged} events acknowledged, ${starts} starts`);
  expect(wrong).toEqual([]);
  expect(kills).toBeGreaterThanOrEqual(350);
  expect(starts).toBeGreaterThan(100);
});

test.concurrent('a bench that is killed 150 times', { timeout: HOUR_MS, retry: 0 }, async () => {
  const { kills, wrong, acknowledged, starts } = await killBench(killPlan(140, 6), quickDrill());
  console.log(`${kills} kills of a bench, ${acknowledged} events acknowledged, ${starts} starts`);
  expect(wrong).toEqual([]);
  expect(kills).toBeGreaterThanOrEqual(150);
  expect(starts).toBeGreaterThan(30);
});
