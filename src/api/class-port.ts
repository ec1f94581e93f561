/** What the class routes need of whoever holds the class; a refusal is a row of the class's own table. */
import type { RefusalId } from '../class/index.ts';
import type { Answer } from '../lesson/index.ts';
import type { ClassView, LessonWanted, SeatView } from './class-schema.ts';

export type ClassOutcome = { readonly ok: true } | Refused | NotDone;
/** A class says no. */
interface Refused {
  readonly ok: false;
  readonly refusal: RefusalId;
}
/** The bench, or the lesson, says no; in a sentence of its own. */
export interface NotDone {
  readonly ok: false;
  readonly problem: string;
  readonly missing?: true;
}

export type JoinOutcome = { readonly ok: true; readonly seat: string; readonly key: string } | Refused;

/** Without the addresses at which phones find it: only who listens knows them. */
export type ClassPicture = Omit<ClassView, 'joinUrls' | 'reachable'>;

export interface ClassPort {
  open(): ClassOutcome;
  close(): ClassOutcome;
  /** null where none is open. */
  picture(): Promise<ClassPicture | null>;
  /** Comma-separated values; null where no class is open. */
  scoresCsv(): string | null;
  startLesson(wanted: LessonWanted): Promise<ClassOutcome>;
  reveal(): ClassOutcome;
  dropLesson(): ClassOutcome;
  giveHand(to: string | null): ClassOutcome;
  removeSeat(seat: string): ClassOutcome;
  /** The key is told here and never again. */
  join(code: string, name: string): JoinOutcome;
  /** Whose key it is; null for nobody’s. */
  seatOf(key: string): string | null;
  /** null for a seat that is gone. Whoever looks is present. */
  look(seat: string): SeatView | null;
  answer(seat: string, answer: Answer): ClassOutcome;
  flip(seat: string, sensor: string, on: boolean): ClassOutcome;
}
