/** Nothing breaks the built-in supervisor: the short form. */
import { expect, test } from 'vitest';
import { search } from '../../../sim/seek/index.ts';
import { threads } from '../../../src/app/seek/executors.ts';
import { packed } from '../../../src/app/seek/packed-rig.ts';
import { quickRig } from './quick-rig.ts';

const DRILLS = 5000;
const LIMIT_MS = 600_000;

test(`${DRILLS} random drills break no rule, and exercise all that the rig has`, {
  timeout: LIMIT_MS,
}, async () => {
  const rig = quickRig();
  // Threads of their own: what the coverage of the tests counts would cost as much again.
  const { executor, close } = threads({ rig: packed(rig), command: null }, 2);
  const { findings, unsteady, coverage } = await search(executor, {
    ...{ rig, seed: 1, runs: DRILLS, pairwise: false, findingsMax: Number.POSITIVE_INFINITY },
    ...{ goOn: () => true, progress: () => undefined },
  });
  await close();
  expect(findings.map(({ breach, because, plan }) => ({ breach, because, plan }))).toEqual([]);
  expect(unsteady).toBeNull();
  const idle = [...coverage.rules].filter(([, { exercised }]) => exercised === 0).map(([id]) => id);
  // It locks out after no number of trips.
  expect(idle).toEqual(['latch']);
});
