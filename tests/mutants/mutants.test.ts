/** Every controller with one thing wrong is broken on the rule that names it, and on no other. */
import { describe, expect, test } from 'vitest';
import { drillNamed } from './drills.ts';
import { inLines } from './judged.ts';
import { KEEPING_MUTANTS } from './keeping-mutants.ts';
import { SENSING_MUTANTS } from './sensing-mutants.ts';
import { SERVING_MUTANTS } from './serving-mutants.ts';
import { inProcess } from './variant.ts';

const MUTANTS = [...SENSING_MUTANTS, ...KEEPING_MUTANTS, ...SERVING_MUTANTS];

test('there are more than forty, each named once', () => {
  expect(new Set(MUTANTS.map(({ name }) => name)).size).toBe(MUTANTS.length);
  expect(MUTANTS.length).toBeGreaterThan(40);
});

describe('a controller that', () => {
  test.each(MUTANTS)('$name breaks $breaks in $drill', async ({ drill, breaks, also = [], make }) => {
    const { broken } = await inLines(drillNamed(drill), inProcess(make()));
    expect([...broken].sort()).toEqual([breaks, ...also].sort());
  });
});
