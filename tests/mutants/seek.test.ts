/** Some of the mutants, found by a search that is told of none; the long form seeks them all. */
import { expect, test } from 'vitest';
import { KEEPING_MUTANTS } from './keeping-mutants.ts';
import { SENSING_MUTANTS } from './sensing-mutants.ts';
import { SERVING_MUTANTS } from './serving-mutants.ts';
import { soughtIn } from './sought.ts';

const BUDGET = 150;
const EVERY = 9;
const SOME = [...SENSING_MUTANTS, ...KEEPING_MUTANTS, ...SERVING_MUTANTS].filter(
  (_, index) => index % EVERY === 0,
);

test.each(SOME)('a controller that $name is found, by a drill of four steps at most', async (mutant) => {
  const { findings } = await soughtIn(mutant, BUDGET);
  expect(findings).toHaveLength(1);
  expect(findings[0]?.plan.steps.length).toBeLessThanOrEqual(4);
  const known = [mutant.breaks, ...(mutant.also ?? [])];
  expect(findings[0]?.because.length, known.join(', ')).toBeGreaterThan(0);
});
