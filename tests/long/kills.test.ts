/** 500 kills at random moments: 300 of a supervisor alone, beside it 200 of a whole bench in a drill. */
import { expect, test } from 'vitest';
import { killBench, killPlan, killSupervisor, quickDrill } from '../helpers/killed.ts';

const HOUR_MS = 3_600_000;

test.concurrent('a supervisor that is killed 300 times', { timeout: HOUR_MS, retry: 0 }, async () => {
  const { kills, wrong, acknowledged, starts } = await killSupervisor(killPlan(270, 5));
  console.log(`${kills} kills of a supervisor, ${acknowledged} events acknowledged, ${starts} starts`);
  expect(wrong).toEqual([]);
  expect(kills).toBeGreaterThanOrEqual(300);
  expect(starts).toBeGreaterThan(80);
});

test.concurrent('a bench that is killed 200 times', { timeout: HOUR_MS, retry: 0 }, async () => {
  const { kills, wrong, acknowledged, starts } = await killBench(killPlan(175, 6), quickDrill());
  console.log(`${kills} kills of a bench, ${acknowledged} events acknowledged, ${starts} starts`);
  expect(wrong).toEqual([]);
  expect(kills).toBeGreaterThanOrEqual(200);
  expect(starts).toBeGreaterThan(30);
});
