import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CATALOGUE, type EventId } from '../../../../src/events/index.ts';
import { clustersOf, isAt, kindOf, MARK_WIDTH, SHAPES } from '../../../../src/page/chart/moments.tsx';
import type { Moment } from '../../../../src/page/data/history.ts';

const moment = (atMs: number): Moment => ({ atMs, id: 'fault.injected', severity: 'notice', text: '' });

describe('events as marks', () => {
  it('stand by themselves where there is room, and share a mark where there is none', () => {
    const clusters = clustersOf([0, 10, 20, 100].map(moment), 1);
    expect(clusters.map(({ moments }) => moments.length)).toEqual([3, 1]);
    expect(clusters[0]).toMatchObject({ fromMs: 0, toMs: 20 });
  });

  it('are all there, in order, and never cover each other', () => {
    const times = fc.array(fc.integer({ min: 0, max: 2000 }), { maxLength: 60 });
    fc.assert(
      fc.property(times, fc.integer({ min: 1, max: 9 }), (all, columnMs) => {
        const sorted = [...all].sort((a, b) => a - b);
        const clusters = clustersOf(sorted.map(moment), columnMs);
        expect(clusters.flatMap(({ moments }) => moments.map(({ atMs }) => atMs))).toEqual(sorted);
        const gaps = clusters.slice(1).map(({ fromMs }, index) => fromMs - (clusters[index]?.fromMs ?? 0));
        expect(gaps.every((gap) => gap >= MARK_WIDTH * columnMs)).toBe(true);
      }),
    );
  });

  it('keep their company however much comes after them', () => {
    const before = clustersOf([0, 10, 50].map(moment), 1);
    expect(clustersOf([0, 10, 50, 51, 90].map(moment), 1).slice(0, 1)).toEqual(before.slice(0, 1));
  });

  it('are found where they stand, and not beside', () => {
    const [cluster] = clustersOf([1000, 1010].map(moment), 1);
    if (cluster === undefined) throw new Error('there is one');
    expect([980, 990, 1005, 1012, 1020].map((atMs) => isAt(cluster, atMs, 1))).toEqual([
      false,
      true,
      true,
      true,
      false,
    ]);
  });

  it('have a shape of their own for each kind, whatever the event', () => {
    const ids = Object.keys(CATALOGUE) as EventId[];
    for (const id of ids) {
      expect(SHAPES[kindOf({ ...moment(0), id, severity: CATALOGUE[id].severity })]).toMatch(/^M/u);
    }
    expect(new Set(Object.values(SHAPES)).size).toBe(Object.values(SHAPES).length);
    expect(kindOf({ ...moment(0), id: 'of.tomorrow', severity: 'alarm' })).toBe('alarm');
  });
});
