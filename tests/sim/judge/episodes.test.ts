/** What makes an episode, what belongs to it, and what a power cut leaves of it. */
import { describe, expect, test } from 'vitest';
import { type Episode, episodesIn } from '../../../sim/judge/episodes.ts';
import type { Reason } from '../../../sim/judge/reason.ts';
import type { Spans } from '../../../sim/judge/spans.ts';
import { POLICY } from './trace-builder.ts';

type Reading = Parameters<typeof episodesIn>[1];

const END_MS = 1000;
const LIMITS = { ...POLICY, respondWithinMs: 15, holdMs: 100 };
/** Cut in two by a loss of power. */
const CUT: Spans = [
  { fromMs: 0, toMs: 300 },
  { fromMs: 320, toMs: END_MS },
];

const span = (fromMs: number, toMs: number): Spans => [{ fromMs, toMs }];

function reason(fromMs: number, untilMs: number, more: Partial<Reason> = {}): Reason {
  const ends = { untilMs, laxUntilMs: untilMs, open: false, lifeEndMs: END_MS };
  return { sensor: 'one', kind: 'gas', fromMs, ...ends, said: '', ...more };
}

interface Sketch {
  readonly mitigation?: Spans;
  readonly judged?: Spans;
  readonly lives?: Spans;
  readonly reading?: Reading;
}

function episodes(reasons: readonly Reason[], sketch: Sketch = {}): readonly Episode[] {
  const { mitigation = [], lives = span(0, END_MS), reading = 'lax' } = sketch;
  return episodesIn({ policy: LIMITS, lives, judged: sketch.judged ?? lives, mitigation, reasons }, reading);
}

const onsets = (...of: Parameters<typeof episodes>): readonly number[] =>
  episodes(...of).map(({ fromMs }) => fromMs);

describe('a reason', () => {
  test('makes an episode once it lasts as long as respondWithin, or was answered by then', () => {
    expect(onsets([reason(10, 25)])).toEqual([10]);
    expect(onsets([reason(10, 24)])).toEqual([]);
    expect(onsets([reason(10, 12)], { mitigation: span(25, 30) })).toEqual([10]);
    expect(onsets([reason(10, 12)], { mitigation: span(26, 30) })).toEqual([]);
  });

  test('is long enough in any one stretch of judged time, not over all of them', () => {
    const judged = (toMs: number): Spans => [...span(0, toMs), ...span(50, END_MS)];
    expect(onsets([reason(10, 60)], { judged: judged(25) })).toEqual([10]);
    expect(onsets([reason(10, 60)], { judged: judged(24) })).toEqual([]);
  });

  test('is not answered by what stood while nobody judged', () => {
    const judged = [...span(0, 12), ...span(30, END_MS)];
    expect(onsets([reason(10, 12)], { judged, mitigation: span(15, 20) })).toEqual([]);
  });

  test('that was short and open at a cut counts by the most reading alone, and only as gas', () => {
    const last = [reason(295, 300, { open: true, lifeEndMs: 300 })];
    expect(onsets(last, { lives: CUT, reading: 'most' })).toEqual([295]);
    for (const reading of ['lax', 'least'] as const)
      expect(onsets(last, { lives: CUT, reading })).toEqual([]);
    const silence = last.map((one) => ({ ...one, kind: 'silent' as const }));
    expect(onsets(silence, { lives: CUT, reading: 'most' })).toEqual([]);
  });
});

describe('an episode', () => {
  test('takes in what begins before its hold has passed, answered or not', () => {
    expect(onsets([reason(10, 40), reason(139, 170)])).toEqual([10]);
    expect(onsets([reason(10, 40), reason(140, 170)])).toEqual([10, 140]);
  });

  test('goes on after a cut only where mitigation had been reached before it', () => {
    const reasons = [reason(220, 250, { lifeEndMs: 300 }), reason(330, 360)];
    expect(onsets(reasons, { lives: CUT })).toEqual([220, 330]);
    expect(onsets(reasons, { lives: CUT, mitigation: span(310, 500) })).toEqual([220, 330]);
    expect(onsets(reasons, { lives: CUT, mitigation: span(240, 500) })).toEqual([220]);
  });

  test('was reached if mitigation stood in any stretch of judged time before the cut', () => {
    const reasons = [reason(220, 250, { lifeEndMs: 300 }), reason(330, 360)];
    const judged = [...span(0, 260), ...span(270, 300), ...span(320, END_MS)];
    expect(onsets(reasons, { lives: CUT, judged, mitigation: span(240, 265) })).toEqual([220]);
    expect(onsets(reasons, { lives: CUT, judged, mitigation: span(262, 268) })).toEqual([220, 330]);
  });

  test('tells of a cut inside it, not of one with its end or after it', () => {
    const cutAt = (lifeEndMs: number): number | null | undefined =>
      episodes([reason(10, 40, { lifeEndMs })], { mitigation: span(12, 200) })[0]?.cutMs;
    expect([cutAt(139), cutAt(140), cutAt(141)]).toEqual([139, null, null]);
  });

  test('ends with the last of its reasons, and trips with its first gas', () => {
    const reasons = [reason(10, 90, { kind: 'silent' }), reason(20, 50), reason(30, 60)];
    expect(episodes(reasons)).toMatchObject([{ fromMs: 10, lastEndMs: 90, toMs: 190, trip: { fromMs: 20 } }]);
    expect(episodes(reasons.slice(0, 1))[0]?.trip).toBeNull();
  });

  test('ends laxly, strictly by the least reading, with the power-up where a cut left it open', () => {
    const lingers = [reason(10, 60, { laxUntilMs: 40 })];
    const endBy = (reading: Reading): number | undefined => episodes(lingers, { reading })[0]?.lastEndMs;
    expect([endBy('lax'), endBy('least'), endBy('most')]).toEqual([40, 60, 40]);
    const open = [reason(280, 300, { open: true, lifeEndMs: 300 })];
    expect(episodes(open, { lives: CUT })[0]?.lastEndMs).toBe(320);
  });
});
