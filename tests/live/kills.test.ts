/** Kills at random moments, in short: the long form is tests/long/kills.test.ts. */
import { expect, test } from 'vitest';
import { killBench, killPlan, killSupervisor, quickDrill } from '../helpers/killed.ts';

test.concurrent('a supervisor that is killed loses nothing, shortens no hold, and starts again', async () => {
  const { wrong, acknowledged, starts } = await killSupervisor(killPlan(3, 3));
  expect(wrong).toEqual([]);
  expect(acknowledged).toBeGreaterThan(20);
  expect(starts).toBeGreaterThan(1);
});

test.concurrent('a whole bench that is killed in a drill loses nothing, and begins in the hold', async () => {
  const { wrong, acknowledged } = await killBench(killPlan(2, 4), quickDrill());
  expect(wrong).toEqual([]);
  expect(acknowledged).toBeGreaterThan(20);
});
