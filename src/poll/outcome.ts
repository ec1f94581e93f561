/** What came of one request: exactly one of these, whatever happened on the wire. */
import type { Ms } from '../units/index.ts';

export type Outcome<Answer> =
  | { readonly kind: 'answered'; readonly answer: Answer }
  /** The device, or a gateway before it, answered with a Modbus exception. */
  | { readonly kind: 'refused'; readonly exception: number }
  /** Something answered, but not what was asked: its words are worth nothing. */
  | { readonly kind: 'mismatched'; readonly field: string }
  | { readonly kind: 'silent' };

/** An outcome with its two moments: when the request left, and when the outcome was certain. */
export interface Timed<Answer> {
  readonly askedAtMs: Ms;
  readonly doneAtMs: Ms;
  readonly outcome: Outcome<Answer>;
}
