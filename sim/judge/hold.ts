/**
 * hold: mitigation is not left before `hold` has passed since the last reason ended.
 *
 * Readings where the words leave room:
 * - Reasons end laxly; leaving while one stands is stay-off's or recheck's.
 * - Where no one let go, the time kept is counted to the leaving after the hold, or to the end of the
 *   drill.
 * - Where a fire or a power cut took the mitigation away before the hold had passed, nothing is decided
 *   here.
 */
import { type Case, type Definition, lacksNothing } from './definition.ts';
import type { Episode } from './episodes.ts';
import type { Ground } from './ground.ts';
import { leavesIn } from './leaves.ts';
import { lackingAt } from './outputs.ts';
import { laxSpan, type Reason } from './reason.ts';
import { isInside, spansOf, spanUpTo } from './spans.ts';
import { against, clock, length } from './text.ts';

export const hold: Definition = {
  lacks: lacksNothing,
  cases: (ground) => ground.episodes.flatMap((episode) => casesOf(episode, ground)),
  exercisedWhen: 'It would take a mitigation whose hold passes before the drill ends.',
  countedFrom: 'the end of the last reason; that of gas is its last answer at or above the setpoint',
  limit: 'mitigation for at least hold',
};

function casesOf(episode: Episode, ground: Ground): readonly Case[] {
  const lax = spansOf(episode.reasons.map(laxSpan));
  const cases: Case[] = [];
  let next = 0;
  let last = episode.first;
  for (const leaveMs of leavesIn(episode, ground)) {
    for (let reason = episode.reasons[next]; reason !== undefined; reason = episode.reasons[next]) {
      if (reason.fromMs >= leaveMs) break;
      if (reason.laxUntilMs > last.laxUntilMs) last = reason;
      next += 1;
    }
    if (!isInside(lax, leaveMs)) cases.push(holdCase(last, leaveMs, 'left', ground));
  }
  return [...cases, ...keptCase(episode, ground)];
}

/** Mitigation stood when the hold had passed: how much longer it did. */
function keptCase(episode: Episode, ground: Ground): readonly Case[] {
  const { toMs, lifeEndMs, lastEndMs } = episode;
  const mitigation = spanUpTo(ground.mitigation, toMs);
  const judged = spanUpTo(ground.judged, toMs);
  const last = episode.reasons.find((reason) => reason.laxUntilMs === lastEndMs);
  if (toMs > lifeEndMs || mitigation === undefined || judged === undefined || last === undefined) return [];
  const keptMs = Math.min(mitigation.toMs, judged.toMs);
  const how = mitigation.toMs < judged.toMs ? 'left' : 'still standing';
  return [holdCase(last, keptMs, how, ground)];
}

function holdCase(last: Reason, keptMs: number, how: 'left' | 'still standing', ground: Ground): Case {
  const sinceMs = keptMs - last.laxUntilMs;
  const marginMs = sinceMs - ground.policy.holdMs;
  return {
    marginMs,
    atMs: keptMs,
    sensor: last.sensor,
    because: () => {
      const what = how === 'left' ? lackingAt(keptMs, ground) : '';
      return [
        `${last.said}; the last reason ended at ${clock(last.laxUntilMs)}.`,
        `Mitigation was ${how} at ${clock(keptMs)}${what}, ${length(sinceMs, ground.policy.holdMs)} later.`,
        against(ground.policy.holdMs, 'hold of the rig', marginMs),
      ];
    },
  };
}
