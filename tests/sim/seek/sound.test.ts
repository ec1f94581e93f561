/**
 * Nothing breaks the built-in supervisor: the short form, on the demo rig with a shorter hold, polled half as
 * often, since a poll costs the same whenever it is; the long form takes the rig as it is.
 */
import { expect, test } from 'vitest';
import { runBatch, search, shrinkFound } from '../../../sim/seek/index.ts';
import { runBuiltIn } from '../../../src/app/drill/run.ts';
import { tryWith } from '../../../src/app/seek/try.ts';
import { ms } from '../../../src/units/index.ts';
import { slowly } from '../../src/supervisor/tiny-rig.ts';

const DRILLS = 5000;
const LIMIT_MS = 600_000;
const MINUTE = 60_000;
const QUICK = {
  ...{ holdMs: ms(2 * MINUTE), compressorMinOffMs: ms(MINUTE), resumeWithinMs: ms(MINUTE) },
  latchAfter: { trips: 2, withinMs: ms(60 * MINUTE) },
};

test(`${DRILLS} random drills break no rule, and exercise every one`, { timeout: LIMIT_MS }, async () => {
  const rig = slowly(QUICK);
  const tryOne = tryWith(rig, runBuiltIn);
  const { findings, unsteady, coverage } = await search(
    {
      width: 1,
      batch: (order) => runBatch(order, rig, tryOne),
      shrink: (order) => shrinkFound(order, rig, tryOne),
    },
    {
      ...{ rig, seed: 1, runs: DRILLS, pairwise: false, findingsMax: Number.POSITIVE_INFINITY },
      ...{ goOn: () => true, progress: () => undefined },
    },
  );
  expect(findings.map(({ breach, because, plan }) => ({ breach, because, plan }))).toEqual([]);
  expect(unsteady).toBeNull();
  const idle = [...coverage.rules].filter(([, { exercised }]) => exercised === 0).map(([id]) => id);
  expect(idle).toEqual([]);
});
