/** A reason to mitigate: which sensor gave it, of what kind, from when until when. */
import type { Span } from './spans.ts';

export type ReasonKind = 'gas' | 'contradiction' | 'frozen' | 'invalid' | 'silent' | 'failed' | 'stranger';

export interface Reason {
  readonly sensor: string;
  readonly kind: ReasonKind;
  readonly fromMs: number;
  /** The strict end: gas and contradiction end below `clearBelow`. */
  readonly untilMs: number;
  /**
   * The end for whatever forbids: the last answer at or above the setpoint, since a controller may be
   * stricter than that, never laxer. Not after `untilMs`; may be the moment of the onset itself.
   */
  readonly laxUntilMs: number;
  /** Still standing when the controller lost its power or the drill ended. */
  readonly open: boolean;
  /**
   * End of the life of the controller in which it was told: its next loss of power, or that of the drill.
   */
  readonly lifeEndMs: number;
  /** What the sensor said or did not say, as a sentence without its full stop. */
  readonly said: string;
}

export const laxSpan = (reason: Reason): Span => ({ fromMs: reason.fromMs, toMs: reason.laxUntilMs });
export const strictSpan = (reason: Reason): Span => ({ fromMs: reason.fromMs, toMs: reason.untilMs });

export function isGas(reason: Reason): boolean {
  return reason.kind === 'gas' || reason.kind === 'contradiction';
}
