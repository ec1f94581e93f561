/** Some of the mutants, found by a search that is told of none; the long form seeks them all. */
import { expect, test } from 'vitest';
import { KEEPING_MUTANTS } from './keeping-mutants.ts';
import { MISTOLD } from './mistold.ts';
import { SENSING_MUTANTS } from './sensing-mutants.ts';
import { SERVING_MUTANTS } from './serving-mutants.ts';
import { brokenAgain, mistoldSuspect, soughtIn, suspectOf } from './sought.ts';

const BUDGET = 150;
const EVERY = 26;
const SOME = [
  ...[...SENSING_MUTANTS, ...KEEPING_MUTANTS, ...SERVING_MUTANTS].map(suspectOf),
  ...MISTOLD.map(mistoldSuspect),
].filter((_, index) => index % EVERY === 0);

test.each(SOME)(
  '$name: found by a drill of four steps at most, which breaks the same rule again',
  async (one) => {
    const [finding] = (await soughtIn(one, BUDGET)).findings;
    if (finding === undefined) throw new Error('nothing was found');
    expect(finding.plan.steps.length).toBeLessThanOrEqual(4);
    expect(finding.because.length).toBeGreaterThan(0);
    expect(await brokenAgain(one, finding)).toEqual([finding.breach]);
  },
);
