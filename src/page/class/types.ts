/** What the class's side of the bench answers: to a seat (a phone) and to the instructor. */
import type { Answer, Score, Solution } from '../../lesson/index.ts';
import type { Lamp } from '../types.ts';

/** What a technician could see and measure at the unit, and nothing else. Times in ms of bench time. */
export interface FieldView {
  readonly nowMs: number;
  readonly speed: number;
  readonly paused: boolean;
  readonly sensors: readonly FieldSensor[];
  readonly controller: {
    readonly lit: boolean;
    readonly state: string | null;
    readonly says: readonly string[];
    readonly holdLeftMs: number | null;
  };
  readonly runs: {
    readonly fan: boolean;
    readonly air: boolean;
    readonly compressors: readonly { readonly id: string; readonly running: boolean }[];
    readonly heat: boolean;
  };
  readonly terminals: readonly { readonly id: string; readonly words: string; readonly volts: number }[];
  readonly portable: readonly {
    readonly at: string;
    readonly words: string;
    readonly percentLfl: number;
  }[];
}

export interface FieldSensor {
  readonly id: string;
  /** Where it is mounted. */
  readonly place: string;
  readonly plannedPlace: string;
  readonly kind: 'modbus' | 'contact';
  /** As it stands on the device; a contact has none. */
  readonly label: null | { readonly part: string; readonly serial: string; readonly address: number };
  readonly plan: null | { readonly serial: string; readonly address: number };
  readonly lamp: Lamp | null;
  readonly legend: readonly Lamp[];
  readonly switchedOn: boolean;
}

export interface Questions {
  readonly parts: readonly { readonly id: string; readonly words: string }[];
}

/** What is told once the instructor reveals. */
export interface Told {
  readonly solution: Solution;
  readonly shows: string;
  readonly teach: readonly string[];
  readonly safeNextStep: string;
}

export interface SeatView {
  readonly name: string;
  readonly phase: 'gathering' | 'running' | 'revealed';
  readonly title: string | null;
  readonly mayFlip: boolean;
  readonly questions: Questions;
  /** null while gathering. */
  readonly field: FieldView | null;
  readonly answer: Answer | null;
  readonly result: null | (Told & { readonly score: Score });
}

export interface ClassSeat {
  readonly id: string;
  readonly name: string;
  readonly present: boolean;
  readonly answer: Answer | null;
  /** Of the lesson that is on or was revealed last. */
  readonly score: Score | null;
}

export interface ClassLesson extends Told {
  /** null for one that was given as text. */
  readonly id: string | null;
  readonly title: string;
  readonly name: string;
  readonly why: string;
  readonly phase: 'running' | 'revealed';
  readonly beganAtMs: number;
}

export interface OfferedLesson {
  readonly id: string;
  readonly title: string;
  readonly name: string;
  readonly why: string;
  readonly minutes: number;
  /** Why it cannot be played on this rig; null where it can. */
  readonly fits: string | null;
}

export interface ClassView {
  readonly code: string;
  readonly expiresAt: string;
  readonly joinUrls: readonly string[];
  /** false where the bench is bound to loopback: no phone can come. */
  readonly reachable: boolean;
  readonly lessons: readonly OfferedLesson[];
  readonly seats: readonly ClassSeat[];
  /** Who may use the supply switches: nobody, everybody, or the seat of this id. */
  readonly hand: string | null;
  readonly lesson: ClassLesson | null;
  readonly scores: readonly { readonly lesson: string; readonly seat: string; readonly total: number }[];
  /** As every seat sees it; null while no lesson is on. */
  readonly field: FieldView | null;
}
