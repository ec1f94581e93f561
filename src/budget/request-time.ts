/**
 * How long one request keeps a line busy: answered, and unanswered.
 *
 * A serial line, or one behind a gateway, takes the characters of both frames and a silence after each
 * (MB-SER 2.5.1.1): (8 + 5 + 2n) characters and two silences for a read of n registers. A plain TCP line
 * costs next to nothing on the wire; what a network adds is a stated assumption.
 */

import {
  encodeRequest,
  frameMs,
  type Request,
  RTU_OVERHEAD_BYTES,
  responseBytes,
  type SerialSettings,
} from '../modbus/index.ts';
import type { Line, Pace } from '../rig/index.ts';

/** What lies between whoever asks and the devices of a line. */
export type Medium =
  | { readonly kind: 'network' }
  | { readonly kind: 'serial'; readonly settings: SerialSettings }
  | { readonly kind: 'gateway'; readonly pace: Pace };

export interface RequestTime {
  /** Bytes of both frames on a serial line, checksums and all. */
  readonly characters: number;
  readonly answeredMs: number;
  /** Until the line is free again where the device says nothing. */
  readonly silentMs: number;
}

/** A supervisor asks on a line's first address. */
export function mediumOf({ listen: [first], pace }: Line): Medium {
  if (first?.kind === 'rtu') return { kind: 'serial', settings: first };
  return first?.kind === 'tcp' && pace !== null ? { kind: 'gateway', pace } : { kind: 'network' };
}

/** Of an answer whose length does not depend on what it says. */
const UNREAD = new Uint8Array(0);

export function requestTime(request: Request, line: Line, networkMs: number): RequestTime {
  const medium = mediumOf(line);
  const askedBytes = encodeRequest(request).length + RTU_OVERHEAD_BYTES;
  const answerBytes = responseBytes(request, UNREAD) + RTU_OVERHEAD_BYTES;
  const characters = askedBytes + answerBytes;
  switch (medium.kind) {
    case 'network':
      return { characters, answeredMs: networkMs, silentMs: line.timeoutMs };
    case 'serial':
      return {
        characters,
        answeredMs: frameMs(askedBytes, medium.settings) + frameMs(answerBytes, medium.settings),
        silentMs: line.timeoutMs,
      };
    case 'gateway': {
      const askedMs = networkMs + frameMs(askedBytes, medium.pace);
      // A client that gives up earlier finds the gateway still busy: what it asks next waits for as long.
      const silentMs = askedMs + medium.pace.timeoutMs;
      return { characters, answeredMs: askedMs + frameMs(answerBytes, medium.pace), silentMs };
    }
  }
}

/** A gateway that gives up before its client does says so (exception 0B); that is not asked again at once. */
export function isRetried(line: Line, silentMs: number): boolean {
  return mediumOf(line).kind !== 'gateway' || silentMs > line.timeoutMs;
}
