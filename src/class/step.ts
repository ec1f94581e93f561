/**
 * The class as one machine: state and input → state, or the reason why not. Nobody else changes a class.
 *
 * States: no class (null), or one that gathers, runs a lesson, or has one revealed. A class is gone at its
 * `expiresAtMs`, whatever comes then; with it go its code and the key of every seat.
 * Invariants: one class at a time, one lesson at a time; a seat's id and a name belong to one seat; answers
 * are taken while a lesson runs and never after; points are given once, when it is revealed.
 */
import { type Answer, scoreOf } from '../lesson/index.ts';
import { CLASS_LIFE_MS, PRESENT_WITHIN_MS, SCORES_MAX, SEATS_MAX } from './limits.ts';
import { readName, sameName } from './name.ts';
import type { RefusalId } from './refusals.ts';
import { type Class, type ClassLesson, type Hand, NO_POINTS, type Seat } from './state.ts';

export type ClassInput =
  | { readonly kind: 'opened'; readonly code: string; readonly parts: readonly string[] }
  | { readonly kind: 'closed' }
  | { readonly kind: 'joined'; readonly name: string; readonly keyDigest: string }
  | { readonly kind: 'seen'; readonly seat: string }
  | { readonly kind: 'removed'; readonly seat: string }
  | { readonly kind: 'handGiven'; readonly to: Hand }
  | { readonly kind: 'lessonStarted'; readonly lesson: ClassLesson; readonly beganAtMs: number }
  | { readonly kind: 'answered'; readonly seat: string; readonly answer: Answer }
  | { readonly kind: 'revealed' }
  | { readonly kind: 'lessonDropped' };

export type Stepped =
  | { readonly ok: true; readonly state: Class | null }
  | { readonly ok: false; readonly refusal: RefusalId };

/** `now` is the wall clock. */
export function classStep(state: Class | null, input: ClassInput, now: number): Stepped {
  const open = classAt(state, now);
  if (input.kind === 'opened') return open === null ? begun(input, now) : refused('classOpen');
  if (open === null) return refused('noClass');
  switch (input.kind) {
    case 'closed':
      return { ok: true, state: null };
    case 'joined':
      return joined(open, input, now);
    case 'seen':
      return withSeat(open, input.seat, (seat) => ({ ...seat, seenAtMs: now }));
    case 'removed':
      return removed(open, input.seat);
    case 'handGiven':
      return handGiven(open, input.to);
    case 'lessonStarted':
      return lessonStarted(open, input);
    case 'answered':
      return answered(open, input);
    case 'revealed':
      return revealed(open);
    case 'lessonDropped':
      return open.lesson === null ? refused('noLesson') : done({ ...open, lesson: null });
  }
}

/** The class as it is at a moment: none once its time is over. */
export function classAt(state: Class | null, now: number): Class | null {
  return state !== null && now < state.expiresAtMs ? state : null;
}

export function isPresent({ seenAtMs }: Seat, now: number): boolean {
  return now - seenAtMs <= PRESENT_WITHIN_MS;
}

/** Switches are for a lesson: while the class gathers nobody sees what they would do. */
export function mayFlip({ hand, lesson }: Class, seat: string): boolean {
  return lesson !== null && (hand === 'everybody' || hand === seat);
}

/** Whether a lesson may begin: asked before it is played, and again when it plays. */
export function whyNoLesson({ lesson, scores }: Class): RefusalId | null {
  if (lesson?.phase === 'running') return 'lessonRunning';
  return scores.length + SEATS_MAX > SCORES_MAX ? 'manyScores' : null;
}

function begun({ code, parts }: Extract<ClassInput, { kind: 'opened' }>, now: number): Stepped {
  const expiresAtMs = now + CLASS_LIFE_MS;
  return done({ code, expiresAtMs, parts, seats: [], seated: 0, hand: null, lesson: null, scores: [] });
}

function joined(open: Class, input: Extract<ClassInput, { kind: 'joined' }>, now: number): Stepped {
  const name = readName(input.name);
  if (name === null) return refused('nameUnusable');
  if (open.seats.length >= SEATS_MAX) return refused('full');
  if (open.seats.some((seat) => sameName(seat.name, name))) return refused('nameTaken');
  const seated = open.seated + 1;
  const { keyDigest } = input;
  const seat = { id: `seat-${seated}`, name, keyDigest, seenAtMs: now, answer: null, score: null };
  return done({ ...open, seated, seats: [...open.seats, seat] });
}

function removed(open: Class, id: string): Stepped {
  if (!has(open, id)) return refused('noSeat');
  const hand = open.hand === id ? null : open.hand;
  return done({ ...open, hand, seats: open.seats.filter((seat) => seat.id !== id) });
}

function handGiven(open: Class, to: Hand): Stepped {
  if (to !== null && to !== 'everybody' && !has(open, to)) return refused('noSeat');
  return done({ ...open, hand: to });
}

function lessonStarted(open: Class, input: Extract<ClassInput, { kind: 'lessonStarted' }>): Stepped {
  const why = whyNoLesson(open);
  if (why !== null) return refused(why);
  const { lesson, beganAtMs } = input;
  const seats = open.seats.map((seat) => ({ ...seat, answer: null, score: null }));
  return done({ ...open, seats, lesson: { phase: 'running', lesson, beganAtMs } });
}

function answered(open: Class, { seat, answer }: Extract<ClassInput, { kind: 'answered' }>): Stepped {
  if (open.lesson === null) return refused('noLesson');
  if (open.lesson.phase === 'revealed') return refused('lessonRevealed');
  if (answer.where.some((part) => !open.parts.includes(part))) return refused('unknownPart');
  const causes = [...new Set(answer.causes)];
  const where = [...new Set(answer.where)];
  return withSeat(open, seat, (one) => ({ ...one, answer: { ...answer, causes, where } }));
}

function revealed(open: Class): Stepped {
  const { lesson } = open;
  if (lesson === null) return refused('noLesson');
  if (lesson.phase === 'revealed') return refused('lessonRevealed');
  const { solution, title } = lesson.lesson;
  const seats = open.seats.map((seat) => ({
    ...seat,
    score: seat.answer === null ? NO_POINTS : scoreOf(seat.answer, solution),
  }));
  const rows = seats.map(({ name, answer, score }) => {
    return { lesson: title, seat: name, answered: answer !== null, score };
  });
  return done({
    ...open,
    seats,
    lesson: { ...lesson, phase: 'revealed' },
    scores: [...open.scores, ...rows],
  });
}

function withSeat(open: Class, id: string, change: (seat: Seat) => Seat): Stepped {
  if (!has(open, id)) return refused('noSeat');
  return done({ ...open, seats: open.seats.map((seat) => (seat.id === id ? change(seat) : seat)) });
}

function has({ seats }: Class, id: string): boolean {
  return seats.some((seat) => seat.id === id);
}

function done(state: Class): Stepped {
  return { ok: true, state };
}

function refused(refusal: RefusalId): Stepped {
  return { ok: false, refusal };
}
