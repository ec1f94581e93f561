/**
 * A slow, plain reader of a serial line, told by MODBUS over Serial Line V1.02 (2.5.1.1, 2.5.1.2) and sharing
 * nothing with the real one: all bytes lie before it, each with its moment, and it cuts them at the silences.
 */

/** One byte as it came. */
export interface TimedByte {
  readonly byte: number;
  readonly atUs: number;
}

interface PlainRequest {
  readonly unitId: number;
  readonly pdu: readonly number[];
}

export interface PlainReading {
  readonly requests: readonly PlainRequest[];
  readonly thrownAway: number;
}

const FRAME_MAX = 256;

/** The checksum bit by bit, as the flow chart of appendix B has it. */
export function plainCrc(bytes: readonly number[]): number {
  let crc = 0xffff;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit += 1) {
      const carry = crc % 2;
      crc = Math.floor(crc / 2);
      if (carry === 1) crc ^= 0xa001;
    }
  }
  return crc;
}

export function readPlainly(stream: readonly TimedByte[], gapUs: number, silenceUs: number): PlainReading {
  const bursts: TimedByte[][] = [];
  for (const [at, one] of stream.entries()) {
    const before = stream[at - 1];
    if (before === undefined || one.atUs - before.atUs >= silenceUs) bursts.push([]);
    bursts.at(-1)?.push(one);
  }
  const readings = bursts.map((burst) => readBurst(burst, gapUs));
  return {
    requests: readings.flatMap(({ requests }) => requests),
    thrownAway: readings.reduce((sum, { thrownAway }) => sum + thrownAway, 0),
  };
}

/** Frames that tell their length come off the front; whatever is left is one frame, or nothing. */
function readBurst(burst: readonly TimedByte[], gapUs: number): PlainReading {
  const requests: PlainRequest[] = [];
  let left = burst;
  for (;;) {
    const bytes = toldBytes(left.map(({ byte }) => byte));
    if (bytes === null || bytes > left.length) break;
    const front = left.slice(0, bytes);
    if (!isWhole(front, gapUs)) break;
    requests.push(requestIn(front));
    left = left.slice(bytes);
  }
  if (left.length === 0) return { requests, thrownAway: 0 };
  if (!isWhole(left, gapUs)) return { requests, thrownAway: 1 };
  return { requests: [...requests, requestIn(left)], thrownAway: 0 };
}

function requestIn(frame: readonly TimedByte[]): PlainRequest {
  const [unitId, ...rest] = frame.map(({ byte }) => byte);
  return { unitId: unitId ?? 0, pdu: rest.slice(0, -2) };
}

function isWhole(frame: readonly TimedByte[], gapUs: number): boolean {
  const bytes = frame.map(({ byte }) => byte);
  const [low, high] = bytes.slice(-2);
  const gapless = frame.every(({ atUs }, at) => at === 0 || atUs - (frame[at - 1]?.atUs ?? 0) <= gapUs);
  const sound = (low ?? 0) + 256 * (high ?? 0) === plainCrc(bytes.slice(0, -2));
  return gapless && sound && bytes.length >= 4 && bytes.length <= FRAME_MAX;
}

/** By function code: bytes of the whole frame, or where its byte count stands (MB-APP V1.1b3, section 6). */
const FIXED: Readonly<Record<number, number>> = { 1: 8, 2: 8, 3: 8, 4: 8, 5: 8, 6: 8, 22: 10, 43: 7 };
const COUNT_AT: Readonly<Record<number, number>> = { 15: 6, 16: 6, 23: 10 };

function toldBytes([, code = 0, ...rest]: readonly number[]): number | null {
  const at = COUNT_AT[code];
  if (at === undefined) return FIXED[code] ?? null;
  const count = rest[at - 2];
  return count === undefined ? null : at + 1 + count + 2;
}
