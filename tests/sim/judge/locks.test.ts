/** Lock-outs by both readings: what a controller must do, and what it may. */
import { describe, expect, test } from 'vitest';
import type { Episode } from '../../../sim/judge/episodes.ts';
import { type Lock, locksIn } from '../../../sim/judge/locks.ts';
import type { Reason } from '../../../sim/judge/reason.ts';
import { POLICY, trace } from './trace-builder.ts';

const END_MS = 1000;
const HOLD_MS = 30;
type Reading = 'least' | 'most';

/** Gas from a moment on: laxly over after 10 ms, strictly after 20. */
function gasAt(fromMs: number, lifeEndMs = END_MS): Reason {
  const ends = { untilMs: fromMs + 20, laxUntilMs: fromMs + 10 };
  return { sensor: 'one', kind: 'gas', fromMs, ...ends, open: false, lifeEndMs, said: '' };
}

function episodeOf(first: Reason, isTrip = true): Episode {
  const { fromMs, untilMs, lifeEndMs } = first;
  const ends = { lastEndMs: untilMs, toMs: untilMs + HOLD_MS, lifeEndMs, cutMs: null };
  return { fromMs, first, reasons: [first], ...ends, trip: isTrip ? first : null };
}

interface Sketch {
  readonly latchAfter?: { readonly trips: number; readonly withinMs: number } | null;
  readonly presses?: readonly number[];
  readonly judgedFromMs?: number;
  readonly episodes?: readonly Episode[];
}

/** Locked out with the second trip within half a second. */
function locks(reading: Reading, trips: readonly number[], sketch: Sketch = {}): readonly Lock[] {
  const { latchAfter = { trips: 2, withinMs: 500 }, presses = [], judgedFromMs = 0 } = sketch;
  const episodes = sketch.episodes ?? trips.map((atMs) => episodeOf(gasAt(atMs)));
  const facts = {
    trace: trace(END_MS / 1000, {}),
    policy: { ...POLICY, latchAfter },
    acting: [{ fromMs: 0, toMs: END_MS }],
    judged: [{ fromMs: judgedFromMs, toMs: END_MS }],
    strict: episodes.map(({ first }) => ({ fromMs: first.fromMs, toMs: first.untilMs })),
    resetPresses: presses,
  };
  return locksIn(facts, episodes, reading);
}

const spans = (...of: Parameters<typeof locks>): readonly (readonly [number, number])[] =>
  locks(...of).map(({ fromMs, untilMs }) => [fromMs, untilMs]);

describe.each(['least', 'most'] as const)('by the %s reading', (reading) => {
  test('the last trip locks until the end, and tells of the first', () => {
    const episodes = [episodeOf(gasAt(100, 150)), episodeOf(gasAt(300))];
    expect(locks(reading, [], { episodes })).toEqual([
      { fromMs: 300, firstTripMs: 100, cutMs: 150, episodeToMs: 350, untilMs: END_MS },
    ]);
  });

  test('a press unlocks, and it takes as many trips again', () => {
    expect(spans(reading, [100, 200, 400, 500], { presses: [300] })).toEqual([
      [200, 300],
      [500, END_MS],
    ]);
    expect(spans(reading, [100, 200, 400], { presses: [300] })).toEqual([[200, 300]]);
  });

  test('trips in a lock-out change nothing, not even for what follows it', () => {
    expect(spans(reading, [100, 200, 300, 400], { presses: [600] })).toEqual([[200, 600]]);
    expect(spans(reading, [100, 200, 500, 700], { presses: [600] })).toEqual([[200, 600]]);
  });

  test('trips count up to the last moment of the window', () => {
    expect(spans(reading, [100, 600])).toEqual([[600, END_MS]]);
    expect(spans(reading, [100, 601])).toEqual([]);
  });

  test('no latch locks nothing, nor does what is no trip', () => {
    expect(locks(reading, [100, 200], { latchAfter: null })).toEqual([]);
    expect(locks(reading, [], { episodes: [episodeOf(gasAt(100)), episodeOf(gasAt(200), false)] })).toEqual(
      [],
    );
  });

  test('a press does not count while gas stands', () => {
    expect(spans(reading, [100, 200], { presses: [205] })).toEqual([[200, END_MS]]);
  });
});

describe('a press', () => {
  test('between trips forgets them, at least', () => {
    expect(spans('least', [100, 300], { presses: [200] })).toEqual([]);
    expect(spans('most', [100, 300], { presses: [200] })).toEqual([[300, END_MS]]);
    expect(spans('least', [100, 300, 400], { presses: [150, 200, 700] })).toEqual([[400, 700]]);
  });

  test('counts at most with gas strictly over, at least with gas laxly over', () => {
    expect(spans('least', [100, 200], { presses: [215] })).toEqual([[200, 215]]);
    expect(spans('most', [100, 200], { presses: [215] })).toEqual([[200, END_MS]]);
  });

  test('that could be seen, though nobody judged, unlocks at least', () => {
    const unseen = { presses: [300], judgedFromMs: 400 };
    expect(spans('least', [100, 200], unseen)).toEqual([[200, 300]]);
    expect(spans('most', [100, 200], unseen)).toEqual([[200, END_MS]]);
  });
});
