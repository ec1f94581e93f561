/** The shipped drills: sound controllers hold them all, and between them they put every rule to the test. */
import { describe, expect, test } from 'vitest';
import { RULE_IDS } from '../../sim/judge/rules.ts';
import { SHIPPED } from './drills.ts';
import { builtIn, inLines, type Judged } from './judged.ts';
import { inProcess, SOUND } from './variant.ts';

const DRILLS = [...SHIPPED];
const bySupervisor = new Map<string, Judged>();
const bySample = new Map<string, Judged>();

/** How many drills put each rule to the test. */
function exercised(runs: ReadonlyMap<string, Judged>): Readonly<Record<string, number>> {
  const all = [...runs.values()].flatMap((run) => run.exercised);
  return Object.fromEntries(RULE_IDS.map((id) => [id, all.filter((one) => one === id).length]));
}

describe('every shipped drill', () => {
  test.each(DRILLS)(
    '%s says why it is there, judges every rule, and lasts ten minutes or more',
    (_, drill) => {
      expect(drill.why).toMatch(/^[A-Z].{30,}\.$/u);
      expect(drill.rules).toEqual(RULE_IDS);
      expect(drill.lengthMs).toBeGreaterThanOrEqual(600_000);
    },
  );

  test.each(DRILLS)('%s is held by the built-in supervisor', (name, drill) => {
    const run = builtIn(drill);
    bySupervisor.set(name, run);
    expect(run.complaints).toEqual([]);
    expect(run.exercised.length).toBeGreaterThan(0);
  });

  test.each(DRILLS)('%s is held by the sample controller', async (name, drill) => {
    const run = await inLines(drill, inProcess(SOUND));
    bySample.set(name, run);
    expect(run.complaints).toEqual([]);
  });
});

test('every rule is put to the test by two drills at least, under the built-in supervisor', () => {
  expect(bySupervisor.size).toBe(SHIPPED.size);
  const seldom = Object.entries(exercised(bySupervisor)).filter(([, times]) => times < 2);
  expect(seldom).toEqual([]);
});

test('the same holds under the sample controller, but for asking, which is done for it', () => {
  expect(bySample.size).toBe(SHIPPED.size);
  const seldom = Object.entries(exercised(bySample)).filter(([, times]) => times < 2);
  expect(seldom).toEqual([['ask', 0]]);
});
