/**
 * Bytes as Modbus orders them: registers big-endian (MB-APP 4.2), bits from the least significant up (6.1).
 *
 * Callers have checked the length; reading past the end is a broken invariant and throws RangeError.
 */

export const U16_MAX = 0xffff;
/** A PDU has 253 bytes at most: 256 of a serial frame less address and CRC (MB-APP 4.1). */
export const PDU_BYTES_MAX = 253;

export function byteAt(bytes: Uint8Array, at: number): number {
  const byte = bytes[at];
  if (byte === undefined) throw new RangeError(`byte ${at} of ${bytes.length}`);
  return byte;
}

export function u16At(bytes: Uint8Array, at: number): number {
  return (byteAt(bytes, at) << 8) | byteAt(bytes, at + 1);
}

export function putU16(bytes: Uint8Array, at: number, value: number): void {
  bytes[at] = value >> 8;
  bytes[at + 1] = value;
}

export function sameBytes(one: Uint8Array, other: Uint8Array): boolean {
  if (one.length !== other.length) return false;
  for (let at = 0; at < one.length; at += 1) if (one[at] !== other[at]) return false;
  return true;
}

/** Whether a number fits a 16-bit field of the wire. */
export function isU16(value: number): boolean {
  return Number.isInteger(value) && value >= 0 && value <= U16_MAX;
}

/** Whether a number fits one byte of the wire. */
export function isByte(value: number): boolean {
  return Number.isInteger(value) && value >= 0 && value <= 0xff;
}

/** Bytes that `quantity` values take; bits fill whole bytes. */
export function packedBytes(quantity: number, valueBits: 1 | 16): number {
  return (quantity * valueBits + 7) >> 3;
}

/** Value number `index` of a run that begins at byte `at`. */
export function valueAt(bytes: Uint8Array, at: number, index: number, valueBits: 1 | 16): number {
  if (valueBits === 16) return u16At(bytes, at + 2 * index);
  return (byteAt(bytes, at + (index >> 3)) >> (index & 7)) & 1;
}

/** Sets value number `index` of a run that begins at byte `at`; the run's bytes were zero before. */
export function putValue(
  bytes: Uint8Array,
  at: number,
  index: number,
  valueBits: 1 | 16,
  value: number,
): void {
  if (valueBits === 16) {
    putU16(bytes, at + 2 * index, value);
    return;
  }
  const byte = at + (index >> 3);
  bytes[byte] = byteAt(bytes, byte) | (value << (index & 7));
}
