import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { flagsOf, type Mark, marksHeight } from '../../../../src/page/chart/marks.tsx';

const step = (atMs: number, label: string): Mark => ({ atMs, label, kind: 'step' });
const identity = (atMs: number): number => atMs;

describe('flags above the lanes', () => {
  it('stand each over its own moment where there is room', () => {
    const flags = flagsOf([step(100, '1'), step(200, '2')], identity);
    expect(flags.map((flag) => flag.label)).toEqual(['1', '2']);
    expect(flags[0]?.x).toBe(92);
  });

  it('join where they would overlap, and name the first and the last', () => {
    const flags = flagsOf([step(100, '1'), step(104, '2'), step(110, '3'), step(300, '4')], identity);
    expect(flags.map((flag) => flag.label)).toEqual(['1–3', '4']);
  });

  it('go by time, whatever order they come in', () => {
    expect(flagsOf([step(300, '2'), step(100, '1')], identity).map((flag) => flag.label)).toEqual(['1', '2']);
  });

  it('never cover each other', () => {
    const moments = fc.array(fc.integer({ min: 0, max: 700 }), { maxLength: 40 });
    fc.assert(
      fc.property(moments, (all) => {
        const flags = flagsOf(
          [...all].sort((a, b) => a - b).map((atMs, index) => step(atMs, String(index + 1))),
          identity,
        );
        const ends = flags.map((flag) => flag.x + flag.label.length * 8 + 8);
        expect(flags.slice(1).every((flag, index) => flag.x > (ends[index] ?? 0))).toBe(true);
        expect(flags.length > 0).toBe(all.length > 0);
      }),
    );
  });

  it('take no room where there are none, and a row for each kind there is', () => {
    const row = marksHeight([step(1, '1')]);
    expect(marksHeight([])).toBe(0);
    expect(row).toBeGreaterThan(0);
    expect(marksHeight([step(1, '1'), { atMs: 2, label: 'A', kind: 'breach' }])).toBe(2 * row);
  });
});
