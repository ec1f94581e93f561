/**
 * stay-off and recheck: mitigation, once reached in an episode, is not left while a reason holds. Before
 * `hold` has passed since the episode's first reason that is stay-off's, from then on recheck's.
 *
 * Readings where the words leave room:
 * - Reasons end laxly. Each leaving is a case: it lasts until mitigation stands again or no reason does.
 * - A reason that begins at the very moment of leaving was not known to the one who left.
 * - Past a power cut inside the episode `power-cut` judges in their place.
 */
import { exactDuration } from '../../src/units/index.ts';
import { type Case, type Definition, lacksNothing } from './definition.ts';
import type { Episode } from './episodes.ts';
import type { Ground } from './ground.ts';
import { leavesIn, reasonStandingAt } from './leaves.ts';
import { lackingAt } from './outputs.ts';
import { laxSpan, type Reason } from './reason.ts';
import { intersect, isInside, minus, type Span, type Spans, spanAt, spansOf, within } from './spans.ts';
import { clock, length } from './text.ts';

const LIMIT = 'not a moment without mitigation while a reason stands';

export const stayOff: Definition = {
  lacks: lacksNothing,
  cases: (ground) => casesIn(ground, (recheckMs) => ({ fromMs: -Infinity, toMs: recheckMs })),
  exercisedWhen: 'It would take a reason that outlasts the reaching of mitigation.',
  countedFrom: 'the moment at which mitigation is reached, until hold after the first reason',
  limit: LIMIT,
};

export const recheck: Definition = {
  lacks: lacksNothing,
  cases: (ground) => casesIn(ground, (recheckMs) => ({ fromMs: recheckMs, toMs: Infinity })),
  exercisedWhen: 'It would take a reason that still holds when the hold has passed since the first one.',
  countedFrom: 'hold after the first reason of the episode',
  limit: LIMIT,
};

/** What one episode comes to: when mitigation stood and when it did not while a reason held. */
interface Course {
  readonly episode: Episode;
  readonly lax: Spans;
  readonly stood: Spans;
  readonly gone: Spans;
  readonly recheckMs: number;
}

function casesIn(ground: Ground, partOf: (recheckMs: number) => Span): readonly Case[] {
  const stood = intersect(ground.judged, ground.mitigation);
  const gone = minus(ground.judged, ground.mitigation);
  return ground.episodes.flatMap((episode) => {
    const span = { fromMs: episode.fromMs, toMs: Math.min(episode.toMs, episode.lifeEndMs) };
    const lax = spansOf(episode.reasons.map(laxSpan));
    const recheckMs = episode.fromMs + ground.policy.holdMs;
    const course: Course = {
      episode,
      lax,
      stood: intersect(lax, within(span, stood)),
      gone: intersect(lax, within(span, gone)),
      recheckMs,
    };
    return casesOf(course, partOf(recheckMs), ground);
  });
}

/**
 * The leavings of one part of an episode; where there was none, that mitigation stood while a reason held.
 */
function casesOf(course: Course, part: Span, ground: Ground): readonly Case[] {
  const broken = leavesIn(course.episode, ground)
    .filter((leaveMs) => leaveMs >= part.fromMs && leaveMs < part.toMs)
    .flatMap((leaveMs) => leavingCase(leaveMs, course, ground));
  const last = within(part, course.stood).at(-1);
  if (broken.length > 0 || last === undefined) return broken;
  return [keptCase(last, course.episode)];
}

function leavingCase(leaveMs: number, course: Course, ground: Ground): readonly Case[] {
  const { episode, recheckMs } = course;
  const lapse = isInside(course.lax, leaveMs) ? spanAt(course.gone, leaveMs) : undefined;
  if (lapse === undefined) return [];
  const lapseMs = lapse.toMs - leaveMs;
  const reason = reasonStandingAt(episode, leaveMs);
  return [
    {
      marginMs: -lapseMs,
      atMs: leaveMs,
      sensor: reason.sensor,
      because: () => [
        ...beginningOf(episode, reason),
        `Mitigation was left at ${clock(leaveMs)}${lackingAt(leaveMs, ground)} while that reason held, ` +
          `for ${length(lapseMs)}.`,
        `The hold (${exactDuration(ground.policy.holdMs)}) since the first reason ` +
          `${leaveMs < recheckMs ? 'had not passed' : 'had passed'} by then.`,
      ],
    },
  ];
}

/** How the episode began, and the reason that is named where it is another. */
function beginningOf(episode: Episode, reason: Reason): readonly string[] {
  const began = `The episode began at ${clock(episode.fromMs)}: ${episode.first.said}.`;
  return reason === episode.first ? [began] : [began, `${reason.said}.`];
}

function keptCase(kept: Span, episode: Episode): Case {
  const reason = reasonStandingAt(episode, kept.toMs);
  return {
    marginMs: 0,
    atMs: kept.toMs,
    sensor: reason.sensor,
    because: () => [
      ...beginningOf(episode, reason),
      `Mitigation was not left while a reason held, the last time until ${clock(kept.toMs)}.`,
    ],
  };
}
