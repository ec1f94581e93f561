/** The search itself, over made-up outcomes: order, findings, limits; who is quick changes nothing. */
import { setTimeout } from 'node:timers/promises';
import { describe, expect, test } from 'vitest';
import type { BatchOrder, DrillDone, ShrinkOrder, Smallest } from '../../../sim/seek/batch.ts';
import { WAYS } from '../../../sim/seek/focus.ts';
import { type Executor, type SearchOptions, search } from '../../../sim/seek/search.ts';
import { demoRig } from '../../helpers/demo.ts';

const rig = demoRig();
const CALLS = { cooling: false, heating: false, fan: false };
const PLAN = { lengthMs: 60_000, calls: CALLS, steps: [] };

/** What comes of a drill is decided by its batch's seed alone. */
function drillOf(seed: number): DrillDone {
  const breaches = seed % 5 === 0 ? (['respond'] as const) : seed % 7 === 0 ? (['hold'] as const) : [];
  const rules = [{ id: 'respond' as const, result: 'held' as const, marginS: seed % 100 }];
  const covered = {
    rules,
    pairs: [`f${seed % 9} + g${seed % 4}`],
    reached: [{ what: `state ${seed % 31}`, atMs: seed % 600_000 }],
  };
  return { covered, breaches, unsteady: null };
}

function executor(width: number, delayMs: (order: number) => number, asked: BatchOrder[] = []): Executor {
  return {
    width,
    batch: async (order) => {
      asked.push(order);
      await setTimeout(delayMs(asked.length));
      return Array.from({ length: order.drills }, (_, index) => drillOf(order.seed + index));
    },
    shrink: ({ breach }: ShrinkOrder): Promise<Smallest> =>
      Promise.resolve({ breach, plan: PLAN, because: [], sensor: null, atMs: 0, stepsBefore: 0, tries: 0 }),
  };
}

function options(other: Partial<SearchOptions> = {}): SearchOptions {
  return {
    ...{ rig, seed: 1, runs: 300, pairwise: false, findingsMax: Number.POSITIVE_INFINITY },
    ...{ goOn: () => true, progress: () => undefined },
    ...other,
  };
}

describe('a search', () => {
  test('finds the same with one worker and with many of uneven speed', async () => {
    const alone = await search(
      executor(1, () => 0),
      options(),
    );
    const many = await search(
      executor(5, (order) => (order * 7) % 4),
      options(),
    );
    expect(alone.coverage.outside.states).toBeGreaterThan(10);
    expect(alone.findings.length).toBeGreaterThan(1);
    expect(many).toEqual(alone);
  });

  test('gives other drills for another seed', async () => {
    const seeds = async (seed: number): Promise<readonly number[]> => {
      const asked: BatchOrder[] = [];
      await search(
        executor(1, () => 0, asked),
        options({ seed }),
      );
      return asked.map((order) => order.seed);
    };
    const [one, other] = [new Set(await seeds(1)), await seeds(2)];
    expect(other.filter((seed) => one.has(seed))).toEqual([]);
  });

  test('names a rule once, however often it breaks', async () => {
    const { findings, coverage } = await search(
      executor(1, () => 0),
      options(),
    );
    expect(findings.map(({ breach }) => breach).sort()).toEqual(['hold', 'respond']);
    expect(coverage.drills).toBe(300);
  });

  test.each([1, 41, 64, 65])(
    'runs as many drills as it was told, %i, on any number of workers',
    async (runs) => {
      const alone = await search(
        executor(1, () => 0),
        options({ runs }),
      );
      const many = await search(
        executor(5, (order) => (order * 7) % 4),
        options({ runs }),
      );
      expect(alone.coverage.drills).toBe(runs);
      expect(many).toEqual(alone);
    },
  );

  test('runs as many with every pair of faults, one drill a batch', async () => {
    const asked: BatchOrder[] = [];
    const { coverage } = await search(
      executor(1, () => 0, asked),
      options({ runs: 41, pairwise: true }),
    );
    expect(coverage.drills).toBe(41);
    expect(asked.map(({ drills }) => drills)).toEqual(Array<number>(41).fill(1));
  });

  test('stops with as many findings as it may, and begins no other batch', async () => {
    const asked: BatchOrder[] = [];
    const { findings, coverage } = await search(
      executor(1, () => 0, asked),
      options({ findingsMax: 1 }),
    );
    expect(findings).toHaveLength(1);
    expect(coverage.drills).toBe(asked.reduce((sum, { drills }) => sum + drills, 0));
    expect(coverage.drills).toBeLessThan(300);
  });

  test('stops when it is told to, with what it has', async () => {
    const asked: number[] = [];
    const { coverage } = await search(
      executor(1, () => 0),
      options({ goOn: () => asked.push(1) <= 5 }),
    );
    expect(coverage.drills).toBeGreaterThan(0);
    expect(coverage.drills).toBeLessThan(20);
  });

  test('each rule has its turn before any has its second', async () => {
    const asked: BatchOrder[] = [];
    await search(
      executor(1, () => 0, asked),
      options({ runs: 64 }),
    );
    const ways = asked.flatMap(({ focus }) => (focus.on === 'rule' ? [`${focus.rule} ${focus.way}`] : []));
    expect(new Set(ways.slice(0, WAYS.length)).size).toBe(WAYS.length);
  });

  test('goes on from drills that were the first to reach a state, from the second round on', async () => {
    const asked: BatchOrder[] = [];
    await search(
      executor(1, () => 0, asked),
      options({ runs: 128 }),
    );
    const further = asked.map(({ focus }) => focus.on === 'further');
    expect(further.indexOf(true)).toBeGreaterThanOrEqual(32);
    expect(further.filter(Boolean)).toHaveLength(8);
    expect(JSON.parse(JSON.stringify(asked))).toEqual(asked);
  });

  test('that fails in a worker fails as that worker did', async () => {
    const failing: Executor = { ...executor(3, () => 0), batch: () => Promise.reject(new Error('lost')) };
    await expect(search(failing, options())).rejects.toThrow('lost');
  });
});

describe('what is not done the same twice', () => {
  test('is told, and is no finding', async () => {
    const unsteady = { plan: PLAN, outcomes: [['respond'], []] as const };
    const whims: Executor = {
      ...executor(1, () => 0),
      batch: ({ drills }) =>
        Promise.resolve(Array.from({ length: drills }, () => ({ ...drillOf(5), unsteady: { ...unsteady } }))),
    };
    const sought = await search(whims, options({ runs: 8 }));
    expect(sought.findings).toEqual([]);
    expect(sought.unsteady).toEqual(unsteady);
  });
});
