/**
 * Requests out of the bytes of a serial line, by time and by length (MB-SER 2.5.1.1). No clock: the moment of
 * each chunk is handed in.
 *
 * A frame whose function tells its length is taken as soon as its last byte and a right checksum are there;
 * any other is taken, or thrown away, at the silence after it. What has gone wrong once is thrown away up to
 * the next silence: bytes in the middle of a broken frame must never be carried out as a request.
 */
import { type UnitId, unitId } from '../units/brands.ts';
import { byteAt } from './bytes.ts';
import { functionRow } from './functions.ts';
import { IDENTIFY_BYTES, MASK_BYTES, SHORT_BYTES, VALUES_AT, WRITE_VALUES_AT } from './request-check.ts';
import { CRC_BYTES, isSoundRtu, RTU_BYTES_MAX } from './rtu.ts';

/** Longest gap inside a frame, and shortest silence after it, microseconds. */
export interface RtuPatience {
  readonly gapUs: number;
  readonly silenceUs: number;
}

/** The pdu is a copy of its own. */
export interface RtuRequest {
  readonly unitId: UnitId;
  readonly pdu: Uint8Array;
}

export interface RtuParser {
  /** What the bytes complete; `atUs` never goes back. */
  feed(chunk: Uint8Array, atUs: number): readonly RtuRequest[];
  /** What the silence completes: call it once `silenceUs` have passed since the last chunk. */
  silence(): readonly RtuRequest[];
  /** Something waits for its end: the silence after it must be told. */
  waits(): boolean;
  /** Frames thrown away since the beginning: broken, cut, or too long. */
  thrownAway(): number;
}

const NONE: readonly RtuRequest[] = [];

export function rtuParser({ gapUs, silenceUs }: RtuPatience): RtuParser {
  const frame = new Uint8Array(RTU_BYTES_MAX);
  let length = 0;
  let spoiled = false;
  let lastUs = Number.NEGATIVE_INFINITY;
  let thrownAway = 0;

  const take = (bytes: number): RtuRequest => {
    const request = { unitId: unitId(byteAt(frame, 0)), pdu: frame.slice(1, bytes - CRC_BYTES) };
    frame.copyWithin(0, bytes, length);
    length -= bytes;
    return request;
  };
  const complete = (taken: RtuRequest[]): void => {
    for (let bytes = requestBytes(frame, length); bytes !== null; bytes = requestBytes(frame, length)) {
      if (bytes > length || !isSoundRtu(frame, 0, bytes)) return;
      taken.push(take(bytes));
    }
  };
  const silence = (): readonly RtuRequest[] => {
    const whole = !spoiled && isSoundRtu(frame, 0, length);
    if (!whole && (spoiled || length > 0)) thrownAway += 1;
    const taken = whole ? [take(length)] : NONE;
    length = 0;
    spoiled = false;
    return taken;
  };

  return {
    silence,
    waits: () => spoiled || length > 0,
    thrownAway: () => thrownAway,
    feed(chunk, atUs) {
      const gap = atUs - lastUs;
      lastUs = atUs;
      const taken = gap >= silenceUs ? [...silence()] : [];
      if (gap > gapUs && length > 0) spoiled = true;
      for (let from = 0; from < chunk.length && !spoiled; ) {
        // Full, and no end of it in sight: no frame is that long.
        spoiled = length === RTU_BYTES_MAX;
        const part = chunk.subarray(from, from + RTU_BYTES_MAX - length);
        frame.set(part, length);
        length += part.length;
        from += part.length;
        complete(taken);
      }
      return taken;
    },
  };
}

/**
 * Bytes of the frame that begins with these, checksum included; null where they do not tell, yet or at all.
 * A function that we do not speak ends where the line falls silent.
 */
function requestBytes(frame: Uint8Array, length: number): number | null {
  const row = length > 1 ? functionRow(byteAt(frame, 1)) : undefined;
  if (row === undefined) return null;
  // The byte count stands before the values; the unit id before all shifts it by one.
  const runBytes = (valuesAt: number): number | null =>
    length > valuesAt ? valuesAt + byteAt(frame, valuesAt) : null;
  const pduBytes = (): number | null => {
    switch (row.shape) {
      case 'read':
      case 'writeOne':
        return SHORT_BYTES;
      case 'maskWrite':
        return MASK_BYTES;
      case 'identify':
        return IDENTIFY_BYTES;
      case 'writeMany':
        return runBytes(VALUES_AT);
      case 'readWrite':
        return runBytes(WRITE_VALUES_AT);
    }
  };
  const bytes = pduBytes();
  return bytes === null ? null : 1 + bytes + CRC_BYTES;
}
