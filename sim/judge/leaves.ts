/** Leavings: the moments at which mitigation that stood in an episode was let go. */
import type { Episode } from './episodes.ts';
import type { Ground } from './ground.ts';
import type { Reason } from './reason.ts';
import { firstIndex, isInside } from './spans.ts';

/**
 * Those of one episode, in judged time on both sides, before its first loss of the controller's power.
 * Standing at the onset is as good as reached: what was in place may not be let go either.
 */
export function leavesIn(episode: Episode, ground: Ground): readonly number[] {
  const { mitigation } = ground;
  const endMs = Math.min(episode.toMs, episode.lifeEndMs);
  const ended = mitigation.slice(
    firstIndex(mitigation, (span) => span.toMs > episode.fromMs),
    firstIndex(mitigation, (span) => span.toMs >= endMs),
  );
  return ended.map((span) => span.toMs).filter((leaveMs) => isInside(ground.judged, leaveMs));
}

/** Of the reasons that had begun before a moment at which one held, laxly ended, the latest to end. */
export function reasonStandingAt(episode: Episode, atMs: number): Reason {
  return episode.reasons
    .filter((reason) => reason.fromMs < atMs)
    .reduce((latest, reason) => (reason.laxUntilMs > latest.laxUntilMs ? reason : latest), episode.first);
}
