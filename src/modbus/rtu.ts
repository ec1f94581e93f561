/**
 * The RTU frame of a serial line: unit, PDU, checksum; and the times that part one frame from the next.
 *
 * Source: MODBUS over Serial Line V1.02 (MB-SER) 2.5.1, checksum 2.5.1.2 and appendix B. RTU over TCP sends
 * the same bytes through a socket, where the times mean nothing.
 */
import { byteAt, PDU_BYTES_MAX, putU16, u16At } from './bytes.ts';

export type Parity = 'none' | 'even' | 'odd';

/** How a serial line is set. */
export interface SerialSettings {
  /** Bits a second. */
  readonly baud: number;
  readonly parity: Parity;
  readonly stopBits: 1 | 2;
}

/** Microseconds. */
export interface SerialTimes {
  readonly characterUs: number;
  /** A longer gap inside a frame makes it incomplete. */
  readonly gapUs: number;
  /** As much silence as parts two frames. */
  readonly silenceUs: number;
}

/** A unit and a function code at least, then the checksum. */
export const RTU_BYTES_MIN = 4;
export const CRC_BYTES = 2;
/** Unit and checksum around a PDU. */
export const RTU_OVERHEAD_BYTES = 1 + CRC_BYTES;
export const RTU_BYTES_MAX = PDU_BYTES_MAX + RTU_OVERHEAD_BYTES;

const START_AND_DATA_BITS = 9;
const US_PER_S = 1_000_000;
const US_PER_MS = 1000;
/** Up to this speed the times count characters; above it they are fixed (2.5.1.1). */
const COUNTED_BAUD_MAX = 19_200;
const FIXED_GAP_US = 750;
const FIXED_SILENCE_US = 1750;
const GAP_CHARACTERS = 1.5;
const SILENCE_CHARACTERS = 3.5;

/** MB-SER asks for characters of 11 bits; a line that is set to 10 sends faster and is timed so. */
export function serialTimes({ baud, parity, stopBits }: SerialSettings): SerialTimes {
  const bits = START_AND_DATA_BITS + (parity === 'none' ? 0 : 1) + stopBits;
  const characterUs = (bits * US_PER_S) / baud;
  const fixed = baud > COUNTED_BAUD_MAX;
  return {
    characterUs,
    gapUs: fixed ? FIXED_GAP_US : GAP_CHARACTERS * characterUs,
    silenceUs: fixed ? FIXED_SILENCE_US : SILENCE_CHARACTERS * characterUs,
  };
}

/** How long a frame of so many characters takes on the line, with the silence after it, in ms (2.5.1.1). */
export function frameMs(characters: number, settings: SerialSettings): number {
  const { characterUs, silenceUs } = serialTimes(settings);
  return (characters * characterUs + silenceUs) / US_PER_MS;
}

const CRC_START = 0xffff;
const CRC_POLYNOMIAL = 0xa001;
const BITS_PER_BYTE = 8;
const BYTE_MAX = 0xff;
/** What a byte does to the checksum, a register for each. */
const CRC_OF_BYTE = new Uint8Array(2 * (BYTE_MAX + 1));
for (let byte = 0; byte <= BYTE_MAX; byte += 1) {
  let crc = byte;
  for (let bit = 0; bit < BITS_PER_BYTE; bit += 1) crc = (crc >> 1) ^ (crc & 1 ? CRC_POLYNOMIAL : 0);
  putU16(CRC_OF_BYTE, 2 * byte, crc);
}

/** The checksum over bytes `from` to `to`, `to` left out; on the wire its low byte goes first. */
export function crc16(bytes: Uint8Array, from = 0, to = bytes.length): number {
  let crc = CRC_START;
  for (let at = from; at < to; at += 1) {
    crc = (crc >> BITS_PER_BYTE) ^ u16At(CRC_OF_BYTE, 2 * ((crc ^ byteAt(bytes, at)) & BYTE_MAX));
  }
  return crc;
}

/** The whole frame, however long the PDU: a fault may make it longer than any frame may be. */
export function encodeRtu(unitId: number, pdu: Uint8Array): Uint8Array {
  const frame = new Uint8Array(1 + pdu.length + CRC_BYTES);
  frame[0] = unitId;
  frame.set(pdu, 1);
  const crc = crc16(frame, 0, 1 + pdu.length);
  frame[1 + pdu.length] = crc & BYTE_MAX;
  frame[2 + pdu.length] = crc >> BITS_PER_BYTE;
  return frame;
}

/** Whether bytes `from` to `to`, `to` left out, are a whole frame with the right checksum. */
export function isSoundRtu(bytes: Uint8Array, from = 0, to = bytes.length): boolean {
  // The checksum of a frame together with its own checksum is zero.
  return to - from >= RTU_BYTES_MIN && to <= bytes.length && crc16(bytes, from, to) === 0;
}
