/**
 * One conversation as bytes in, bytes out: frames, unit ids and silence, without a socket or a port.
 *
 * A face owns sockets, ports and limits and knows no frames; a dialogue knows frames and no sockets.
 */
import type { Emission } from '../../src/modbus/index.ts';

/** Counts since the face was opened. */
export interface Tally {
  requests: number;
  /** Sound ones. */
  answers: number;
  /** MBAP frames of another protocol, discarded in silence. */
  foreignFrames: number;
  /** MBAP conversations ended because a length field told nothing about where the next frame begins. */
  lostSync: number;
  /** RTU frames that were broken, cut or too long. */
  thrownAway: number;
}

export interface Taken {
  /** All sound answers to the complete requests, in their order; undefined where there are none. */
  readonly reply: Uint8Array | undefined;
  /** What goes out in place of answers that are disturbed. */
  readonly emissions: readonly Emission[];
  /** At least one frame was completed, whatever became of it. */
  readonly completed: boolean;
  /** A frame has begun, and more of it, or the silence that ends it, must come. */
  readonly halfFrame: boolean;
  /** Nothing that follows can be understood: send the reply, then hang up. */
  readonly lost: boolean;
}

export interface Dialogue {
  /** What the next bytes of the stream, few or many, lead to. */
  readonly take: (chunk: Uint8Array) => Taken;
  /** What the silence after a half frame leads to; undefined where silence says nothing. */
  readonly silence: (() => Taken) | undefined;
  /** The other side has gone: what was asked and not yet carried out is left undone. */
  readonly end: () => void;
}

/** Where an answer goes that comes after `take` has returned. */
export type SendLater = (emission: Emission) => void;

export function zeroTally(): Tally {
  return { requests: 0, answers: 0, foreignFrames: 0, lostSync: 0, thrownAway: 0 };
}
