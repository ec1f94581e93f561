/** What a search goes on from, and how. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { Corpus } from '../../../sim/seek/corpus.ts';
import { Coverage } from '../../../sim/seek/coverage.ts';
import { furtherOf } from '../../../sim/seek/further.ts';
import { drillOf, plansOf } from '../../../sim/seek/plan.ts';
import type { Plan } from '../../../sim/seek/planned.ts';
import { demoRig } from '../../helpers/demo.ts';

const CALLS = { cooling: true, heating: false, fan: false };
const plan = (lengthMs: number): Plan => ({ lengthMs, calls: CALLS, steps: [] });

describe('a corpus', () => {
  test('gives a drill up to the last moment at which it was the first to reach anything', () => {
    const corpus = new Corpus();
    corpus.add(plan(1), [
      { what: 'b', atMs: 20 },
      { what: 'a', atMs: 10 },
    ]);
    expect(corpus.take(() => 1)).toEqual({ plan: plan(1), atMs: 20 });
  });

  test('is empty before anything new was reached', () => {
    const corpus = new Corpus();
    corpus.add(plan(1), []);
    expect(corpus.take(() => 1)).toBeUndefined();
  });

  test('gives each in turn, what fewest drills reached first, then the newest', () => {
    const corpus = new Corpus();
    for (const [index, what] of ['common', 'rare', 'rare too'].entries()) {
      corpus.add(plan(index), [{ what, atMs: 0 }]);
    }
    const drills = (what: string): number => (what === 'common' ? 9 : 1);
    const taken = Array.from({ length: 4 }, () => corpus.take(drills)?.plan.lengthMs);
    expect(taken).toEqual([2, 1, 0, 2]);
  });
});

test('coverage counts the drills that reached a thing, and says who was first', () => {
  const coverage = new Coverage();
  const covered = (...names: readonly string[]) => ({
    ...{ rules: [], pairs: [] },
    reached: names.map((what) => ({ what, atMs: 0 })),
  });
  expect(coverage.add(covered('still', 'fire on while still')).map(({ what }) => what)).toHaveLength(2);
  expect(coverage.add(covered('still', 'serving')).map(({ what }) => what)).toEqual(['serving']);
  expect([...coverage.reached]).toEqual([
    ['still', 2],
    ['fire on while still', 1],
    ['serving', 1],
  ]);
  expect(coverage.outside).toEqual({ states: 2, events: 1 });
});

test('a drill that goes on keeps all that led up to the moment, and is one of the rig', () => {
  const rig = demoRig();
  const starts = fc.tuple(plansOf(rig, { moves: () => [], long: true }), fc.nat(1_200_000));
  const further = starts.chain(([from, atMs]) =>
    furtherOf(rig, { plan: from, atMs }).map((then) => ({ from, atMs, then })),
  );
  const property = fc.property(further, ({ from, atMs, then }) => {
    const before = from.steps.filter((step) => step.atMs <= atMs);
    const earlier = then.steps.filter((step) => step.atMs < atMs);
    expect(earlier).toEqual(before.filter((step) => step.atMs < atMs));
    expect(then.steps).toEqual(expect.arrayContaining([...before]));
    expect(then.lengthMs).toBeGreaterThanOrEqual(from.lengthMs);
    expect(drillOf(then, rig).steps).toHaveLength(then.steps.length);
  });
  fc.assert(property, { numRuns: 200 });
  const [longer] = fc.sample(further, { seed: 1, numRuns: 1 });
  expect(longer?.then).not.toEqual(longer?.from);
});
