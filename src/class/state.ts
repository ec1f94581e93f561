/** A class: a code, seats, at most one lesson, and what past lessons were worth. */
import type { Answer, Lesson, Score } from '../lesson/index.ts';

/** Who may flip the sensors' power switches: nobody, `everybody`, or one seat by its id. */
export type Hand = string | null;

export interface Class {
  readonly code: string;
  /** Wall clock, as all times of a class but `beganAtMs`. */
  readonly expiresAtMs: number;
  /** Ids of the parts that an answer may name. */
  readonly parts: readonly string[];
  readonly seats: readonly Seat[];
  /** Seats that ever were: their ids are never given again. */
  readonly seated: number;
  readonly hand: Hand;
  readonly lesson: LessonOn | null;
  /** Of all lessons revealed, in their order. */
  readonly scores: readonly ScoreRow[];
}

export interface Seat {
  readonly id: string;
  readonly name: string;
  /** The key itself is the phone's alone. */
  readonly keyDigest: string;
  readonly seenAtMs: number;
  /** To the lesson on, or to the last one until the next begins; so is the score. */
  readonly answer: Answer | null;
  readonly score: Score | null;
}

export interface LessonOn {
  readonly phase: 'running' | 'revealed';
  readonly lesson: ClassLesson;
  /** Bench time. */
  readonly beganAtMs: number;
}

/** Before it is revealed, a seat is told the title and nothing else of it. */
export interface ClassLesson extends Lesson {
  /** null for one that the instructor brought. */
  readonly id: string | null;
  readonly name: string;
  readonly why: string;
}

export interface ScoreRow {
  readonly lesson: string;
  /** The name as it was then: the seat may be gone. */
  readonly seat: string;
  readonly answered: boolean;
  readonly score: Score;
}

/** Who gave no answer has no point. */
export const NO_POINTS: Score = { causes: 0, where: 0, next: 0, restart: 0, total: 0 };
