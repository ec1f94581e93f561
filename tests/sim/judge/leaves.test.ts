/** Which reason is named when mitigation is let go. */
import { describe, expect, test } from 'vitest';
import type { Episode } from '../../../sim/judge/episodes.ts';
import { reasonStandingAt } from '../../../sim/judge/leaves.ts';
import type { Reason } from '../../../sim/judge/reason.ts';

const reason = (sensor: string, fromMs: number, untilMs: number): Reason => ({
  ...{ sensor, kind: 'gas', fromMs, untilMs, laxUntilMs: untilMs, open: false, lifeEndMs: 900, said: '' },
});

function episodeOf(...reasons: readonly [Reason, ...Reason[]]): Episode {
  const { fromMs } = reasons[0];
  return {
    fromMs,
    first: reasons[0],
    reasons,
    lastEndMs: 90,
    toMs: 390,
    lifeEndMs: 900,
    cutMs: null,
    trip: null,
  };
}

describe('the reason named at a moment', () => {
  const episode = episodeOf(
    reason('first', 10, 50),
    reason('long', 20, 90),
    reason('as long', 30, 90),
    reason('late', 70, 200),
  );

  test('is the one that ends last of those that had begun, of two that end together the first', () => {
    expect(reasonStandingAt(episode, 60).sensor).toBe('long');
    expect(reasonStandingAt(episode, 71).sensor).toBe('late');
  });

  test('is none that begins at that very moment', () => {
    expect(reasonStandingAt(episode, 70).sensor).toBe('long');
    expect(reasonStandingAt(episode, 20).sensor).toBe('first');
  });
});
