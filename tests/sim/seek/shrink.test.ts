/** Shrinking, on breaches that a plain sentence decides, so that the smallest drill is known beforehand. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { plansOf } from '../../../sim/seek/plan.ts';
import type { Plan } from '../../../sim/seek/planned.ts';
import { shrink } from '../../../sim/seek/shrink.ts';
import { demoRig } from '../../helpers/demo.ts';

const S = 1000;
const CALLS = { cooling: true, heating: false, fan: false };
const gas = { testGas: { at: 'coil-a', level: '40 %LFL', lasts: '90 s' } };
const silent = { fault: { in: 'coil-b', kind: 'silent', lasts: '30 s', probability: 0.5 } };
const fire = { fire: 'on' };

function plan(steps: readonly (readonly [number, object])[]): Plan {
  return {
    lengthMs: 1200 * S,
    calls: CALLS,
    steps: steps.map(([atS, deed]) => ({ atMs: atS * S, deed: deed as Plan['steps'][number]['deed'] })),
  };
}

/** Breaks at 5 min wherever the plan has such a step, and is long enough. */
function breaksWith(wanted: (step: Plan['steps'][number]) => boolean) {
  return (one: Plan) => Promise.resolve(one.lengthMs >= 300 * S && one.steps.some(wanted) ? 300 * S : null);
}

const hasGas = ({ deed }: Plan['steps'][number]): boolean => 'testGas' in deed;

describe('a drill is shrunk', () => {
  test('to the one step that breaks the rule, without calls, at a whole minute, ended after the breach', async () => {
    const found = plan([
      [30, fire],
      [67, gas],
      [100, silent],
      [900, fire],
    ]);
    const { plan: smallest } = await shrink(found, 300 * S, breaksWith(hasGas), 80);
    expect(smallest).toEqual({
      lengthMs: 360 * S,
      calls: { cooling: false, heating: false, fan: false },
      steps: [{ atMs: 60 * S, deed: { testGas: { at: 'coil-a', level: '40 %LFL' } } }],
    });
  });

  test('but keeps a call, a time and a chance without which it does not break', async () => {
    const needed = (one: Plan) =>
      Promise.resolve(
        one.calls.cooling && one.steps.some(({ atMs, deed }) => atMs === 67 * S && 'fault' in deed)
          ? 70 * S
          : null,
      );
    const { plan: smallest } = await shrink(plan([[67, silent]]), 70 * S, needed, 80);
    expect(smallest.calls).toEqual(CALLS);
    expect(smallest.steps).toEqual([{ atMs: 67 * S, deed: { fault: { in: 'coil-b', kind: 'silent' } } }]);
  });

  test('to two steps where it takes both', async () => {
    const both = (one: Plan) =>
      Promise.resolve(
        one.steps.some(hasGas) && one.steps.some(({ deed }) => 'fire' in deed) ? 120 * S : null,
      );
    const found = plan([
      [10, silent],
      [20, gas],
      [30, silent],
      [40, fire],
      [50, gas],
    ]);
    const { plan: smallest } = await shrink(found, 120 * S, both, 80);
    expect(smallest.steps).toHaveLength(2);
  });

  test('with no more drills than it may take, and what comes out breaks the rule in any case', async () => {
    const triesMax = 5;
    let tries = 0;
    const breaks = breaksWith(hasGas);
    const counted = (one: Plan) => {
      tries += 1;
      return breaks(one);
    };
    const found = plan(Array.from({ length: 20 }, (_, index) => [index, index === 7 ? gas : silent]));
    const shrunk = await shrink(found, 300 * S, counted, triesMax);
    expect([tries, shrunk.tries]).toEqual([triesMax, triesMax]);
    expect(await breaks(shrunk.plan)).not.toBeNull();
  });

  test('never to more than was found, whatever was', async () => {
    const plans = plansOf(demoRig(), { moves: ({ testGas }) => [testGas], long: true });
    const property = fc.asyncProperty(plans, async (found) => {
      fc.pre(found.steps.some(hasGas));
      const breaks = (one: Plan) => Promise.resolve(one.steps.some(hasGas) ? 0 : null);
      const { plan: smallest } = await shrink(found, 0, breaks, 200);
      expect(smallest.steps).toHaveLength(1);
      expect(smallest.lengthMs).toBeLessThanOrEqual(found.lengthMs);
    });
    await fc.assert(property, { numRuns: 100 });
  });
});

describe('a drill becomes plainer', () => {
  const needsGas = (one: Plan) => Promise.resolve(one.steps.some(hasGas) ? one.lengthMs : null);

  test('in its level and its times, where it breaks all the same', async () => {
    const odd = { testGas: { at: 'coil-a', level: '24.9 %LFL', lasts: '314 s' } };
    const needsTime = (one: Plan) =>
      Promise.resolve(one.steps.some(({ deed }) => JSON.stringify(deed).includes('lasts')) ? 300 * S : null);
    const { plan: smallest } = await shrink(plan([[240, odd]]), 300 * S, needsTime, 80);
    expect(smallest.steps).toEqual([
      { atMs: 60 * S, deed: { testGas: { at: 'coil-a', level: '40 %LFL', lasts: '5 min' } } },
    ]);
  });

  test('keeping each odd value without which it does not break', async () => {
    const odd = { testGas: { at: 'coil-a', level: '24.9 %LFL', lasts: '314 s' } };
    const exactly = (one: Plan) =>
      Promise.resolve(JSON.stringify(one.steps).includes(JSON.stringify(odd)) ? 300 * S : null);
    const { plan: smallest } = await shrink(plan([[0, odd]]), 300 * S, exactly, 80);
    expect(smallest.steps).toEqual([{ atMs: 0, deed: odd }]);
  });

  test('by all presses of a held button at once', async () => {
    const presses = Array.from(
      { length: 40 },
      (_, index) => [100 + 2 * index, { serviceReset: {} }] as const,
    );
    const { plan: smallest, tries } = await shrink(plan([[60, gas], ...presses]), 1200 * S, needsGas, 80);
    expect(smallest.steps).toHaveLength(1);
    expect(tries).toBeLessThan(20);
  });

  test('with a call from the start in place of a step, and without a call that is not needed', async () => {
    const called = (one: Plan) =>
      Promise.resolve(
        one.steps.some(hasGas) && /"heating":(true|"on")/u.exec(JSON.stringify([one.calls, one.steps]))
          ? one.lengthMs
          : null,
      );
    const found = plan([
      [30, { call: { heating: 'on' } }],
      [60, gas],
    ]);
    const { plan: smallest } = await shrink(found, 1200 * S, called, 80);
    expect(smallest.calls).toEqual({ cooling: false, heating: true, fan: false });
    expect(smallest.steps).toHaveLength(1);
  });

  test('sooner, the rest as long after the first step as before', async () => {
    const apart = (one: Plan) => {
      const [first, second] = one.steps;
      const isApart = first !== undefined && second !== undefined && second.atMs - first.atMs === 63 * S;
      return Promise.resolve(isApart ? second.atMs : null);
    };
    const found = plan([
      [659, gas],
      [722, { serviceReset: {} }],
    ]);
    const { plan: smallest } = await shrink(found, 722 * S, apart, 80);
    expect(smallest.steps.map(({ atMs }) => atMs / S)).toEqual([60, 123]);
    expect(smallest.lengthMs).toBe(180 * S);
  });

  test('by waiting a minute where it waited longer, but for a wait that it takes', async () => {
    const waits = ({ steps }: Plan): boolean =>
      steps.length === 3 && (steps[2]?.atMs ?? 0) - (steps[1]?.atMs ?? 0) >= 200 * S;
    const found = plan([
      [60, gas],
      [600, fire],
      [800, gas],
    ]);
    const needed = (one: Plan) => Promise.resolve(waits(one) ? (one.steps[2]?.atMs ?? 0) : null);
    const { plan: smallest } = await shrink(found, 800 * S, needed, 80);
    expect(smallest.steps.map(({ atMs }) => atMs / S)).toEqual([60, 120, 360]);
    expect(smallest.lengthMs).toBe(360 * S);
  });
});
