/** Whatever a client sends, the fold neither throws nor grows past its limits, and its figures are true. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { PollFold } from '../../../sim/poll-report/index.ts';
import { add, running, spreadOf } from '../../../sim/poll-report/running.ts';
import { RANGES_MAX } from '../../../sim/poll-report/unit-tally.ts';
import type { Observation } from '../../../sim/world/index.ts';
import { pollReportSchema } from '../../../src/api/poll-report-schema.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { Asking, COIL_A, read, rightCycle } from './asking.ts';

const RIG = demoRig();

const pdu = fc.uint8Array({ minLength: 1, maxLength: 253 });
const at = fc.record({ line: fc.constantFrom('main', 'nowhere'), unitId: fc.integer({ min: 0, max: 255 }) });
const told = fc.oneof(
  fc.record({ kind: fc.constantFrom('asked' as const, 'waits' as const), at, pdu }),
  fc.record({ kind: fc.constant('answered' as const), at, pdu, afterMs: fc.integer({ min: 0, max: 9000 }) }),
  fc.record({
    kind: fc.constant('sent' as const),
    at,
    afterMs: fc.option(fc.integer({ min: 0, max: 9000 })),
    exception: fc.option(fc.integer({ min: 0, max: 255 })),
    reply: fc.option(pdu),
    struck: fc.boolean(),
  }),
  fc.record({ kind: fc.constant('power' as const), to: fc.constantFrom('rig', 'controller', 'coil-a') }),
);

type Told = typeof told extends fc.Arbitrary<infer One> ? One : never;

function observed(one: Told, nowMs: number): Observation {
  const atMs = ms(nowMs);
  switch (one.kind) {
    case 'power':
      return { kind: 'power', atMs, to: one.to, on: true };
    case 'asked':
    case 'waits':
      return { kind: one.kind, atMs, ...one.at, pdu: one.pdu };
    case 'answered':
      return { kind: 'answered', atMs, ...one.at, pdu: one.pdu, heardAtMs: ms(nowMs + one.afterMs) };
    case 'sent': {
      const { afterMs, exception, reply, struck } = one;
      const sentAtMs = afterMs === null ? null : ms(nowMs + afterMs);
      return { kind: 'sent', atMs, ...one.at, sentAtMs, exception, reply, struck };
    }
  }
}

test('any observations in any order make a report of the promised shape', () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(told, fc.integer({ min: 0, max: 3000 })), { maxLength: 200 }), (all) => {
      const fold = new PollFold(RIG);
      let nowMs = 0;
      for (const [one, laterMs] of all) {
        nowMs += laterMs;
        fold.observe(observed(one, nowMs));
      }
      const report = fold.report(nowMs);
      expect(pollReportSchema.parse(report)).toEqual(report);
      const asked = all.filter(([one]) => one.kind === 'asked' && one.at.line === 'main').length;
      expect(report.requests).toBe(asked);
      expect(report.lines[0]?.units.reduce((sum, { requests }) => sum + requests, 0)).toBe(asked);
    }),
  );
});

test('a client that asks every unit for every range leaves no more than so many of each', () => {
  const fold = new PollFold(RIG);
  for (let turn = 0; turn < 60_000; turn += 1) {
    const pdu = Uint8Array.of(turn % 128, turn >> 8, turn & 0xff, 0, 1 + (turn % 120));
    const unitId = turn % 256;
    fold.observe({ kind: turn % 3 === 0 ? 'waits' : 'asked', atMs: ms(turn), line: 'main', unitId, pdu });
  }
  const units = fold.report(60_000).lines[0]?.units ?? [];
  expect(units).toHaveLength(256);
  for (const { ranges, functions } of units) {
    expect(ranges.length).toBeLessThanOrEqual(RANGES_MAX);
    expect(functions.length).toBeLessThanOrEqual(256);
  }
  expect(units.some(({ otherRanges }) => otherRanges > 0)).toBe(true);
});

test('running figures are those of all numbers at once', () => {
  fc.assert(
    fc.property(fc.array(fc.integer({ min: 0, max: 100_000 }), { minLength: 1 }), (values) => {
      const all = running();
      for (const value of values) add(all, value);
      const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
      const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / values.length;
      const spread = spreadOf(all);
      expect(spread).toMatchObject({
        count: values.length,
        minMs: Math.min(...values),
        maxMs: Math.max(...values),
      });
      expect(spread?.meanMs).toBeCloseTo(mean, 0);
      expect(spread?.jitterMs).toBeCloseTo(Math.sqrt(variance), 0);
    }),
  );
  expect(spreadOf(running())).toBeNull();
});

test('rate, interval, functions, ranges, gap and addresses are what was asked', () => {
  const asking = new Asking();
  asking.timeoutMs = 50;
  asking.cycles(30, 500, () => {
    rightCycle(asking, [
      [COIL_A, read(4, 0, 19)],
      [77, read(3, 5, 2)],
    ]);
  });
  const report = asking.report();
  const [line] = report.lines;
  expect(report).toMatchObject({ sinceMs: 0, requests: 150, atMs: 15_000 });
  expect(line?.neverAsked).toEqual([{ unitId: 12, who: 'coil-b' }]);
  expect(line?.addresses).toEqual({ planned: [11, 12, 200], answering: [11, 200], asked: [11, 77, 200] });
  expect(line?.units[0]).toMatchObject({
    unitId: COIL_A,
    who: ['coil-a'],
    requests: 30,
    perSecond: 2,
    interval: { count: 29, meanMs: 500, minMs: 500, maxMs: 500, jitterMs: 0 },
    longestGapMs: 500,
    askWithinMs: 10_000,
    functions: [{ code: 4, name: 'read input registers', requests: 30 }],
    answered: 30,
    unanswered: 0,
  });
  expect(line?.units[1]).toMatchObject({ unitId: 77, who: [], answered: 0, unanswered: 30, waitsMs: 50 });
  expect(line?.commands).toMatchObject({ complete: 29, longestGapMs: 500, neverWritten: [] });
});
