/** What is told of every poll to whoever counts them; no decision reads it. */
import type { Outcome } from '../poll/index.ts';

export interface PollSeen {
  readonly line: string;
  readonly outcome: Outcome<unknown>['kind'];
  /** Real time from the question to its outcome. */
  readonly tookMs: number;
  /** Of the first poll of a cycle: bench time by which the cycle began after it was due. Else null. */
  readonly lateMs: number | null;
}
