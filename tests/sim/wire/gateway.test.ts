/**
 * A gateway to a serial line: its times after MODBUS over Serial Line V1.02 (2.5.1.1), its exceptions 0A and
 * 0B after MODBUS Application Protocol V1.1b3, section 7.
 */
import { describe, expect, test } from 'vitest';
import type { WireFault } from '../../../sim/faults/index.ts';
import { disturbed } from '../../../sim/wire/disturb.ts';
import { broadcastMs, hasNoPath, noPath, throughGateway } from '../../../sim/wire/gateway.ts';
import { encodeRtu, type WireAnswer } from '../../../src/modbus/index.ts';
import type { Pace } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { bytesOf } from '../../src/modbus/vectors.ts';

const UNIT = 11;
const TIMEOUT_MS = 200;
const REQUEST = bytesOf('04 00 00 00 02');
const REPLY = bytesOf('04 04 12 34 00 FF');
const OTHER = bytesOf('04 04 DE AD BE EF');
const at = (baud: number): Pace => ({ baud, parity: 'even', stopBits: 1, timeoutMs: ms(TIMEOUT_MS) });
const through = (answer: WireAnswer, baud = 9600) => throughGateway(UNIT, REQUEST, answer, at(baud));
const spoiled = (...faults: readonly WireFault[]) =>
  through(
    disturbed(faults, { unitId: UNIT, pdu: REPLY, otherPdu: OTHER, noise: new Uint8Array(64).fill(0x55) }),
  );
const fault = (kind: WireFault['kind'], parameters: object = {}) =>
  ({ kind, parameters, probability: 1 }) as WireFault;
/** Frames of bytes and silences on a line that answers at once. */
const parts = (...frames: readonly (readonly [number, Uint8Array])[]): WireAnswer => ({
  emission: () => ({ parts: frames.map(([afterMs, bytes]) => ({ afterMs, bytes })), hangsUp: false }),
});

/** A frame of 8 bytes, one of 256, and the silence after each, ms; computed from characters of 11 bits. */
const TIMES = [
  [9600, 9.167, 293.33, 4.01],
  [19_200, 4.583, 146.67, 2.005],
  [38_400, 2.292, 73.33, 1.75],
  [115_200, 0.764, 24.44, 1.75],
] as const;

describe.each(TIMES)('at %i bit/s', (baud, shortMs, longMs, silenceMs) => {
  test('an answer comes when both frames and the silences after them are through', () => {
    // The answer has 9 bytes, so one character more than the request.
    const expected = shortMs + silenceMs + (shortMs * 9) / 8 + silenceMs;
    expect(through(REPLY, baud).afterMs).toBeCloseTo(expected, 2);
    expect(through(REPLY, baud).pdu).toEqual(REPLY);
  });

  test('the longest answer takes as long as 256 bytes do', () => {
    const longest = new Uint8Array(253);
    const expected = shortMs + longMs + 2 * silenceMs;
    expect(Math.abs(through(longest, baud).afterMs - expected)).toBeLessThan(0.01);
  });

  test('0B comes when the request is out and the time-out over', () => {
    const { pdu, afterMs } = through(undefined, baud);
    expect(pdu).toEqual(bytesOf('84 0B'));
    expect(afterMs).toBeCloseTo(shortMs + silenceMs + TIMEOUT_MS, 2);
  });

  test('a broadcast takes its frame and the time to act on it', () => {
    // 2.4.1: typically 100 to 200 ms at 9600 bit/s.
    expect(broadcastMs(REQUEST, at(baud))).toBeCloseTo(shortMs + silenceMs + 100, 2);
  });
});

test('a read of two registers at 9600 bit/s takes 27.5 ms (computed)', () => {
  expect(through(REPLY).afterMs).toBeCloseTo(27.5, 2);
});

describe('0B stands in for', () => {
  test.each([
    ['an answer that was lost', fault('lossy')],
    ['one with a wrong checksum', fault('bad-crc')],
    ['noise', fault('garbage')],
    ['one of another unit', fault('wrong-unit')],
    ['two that talk at once', fault('same-address', { heard: 'garbled' })],
    ['one that is too late', fault('late', { by: TIMEOUT_MS + 1 })],
    ['one whose bytes come too slowly', fault('dribble', { every: 26 })],
  ])('%s', (_, one) => {
    const { pdu, afterMs } = spoiled(one);
    expect(pdu).toEqual(bytesOf('84 0B'));
    expect(afterMs).toBeCloseTo(9.167 + 4.01 + TIMEOUT_MS, 2);
  });

  test('an answer whose end is missing, and one before whose beginning there is noise', () => {
    const frame = encodeRtu(UNIT, REPLY);
    expect(through(parts([0, frame.subarray(0, 8)])).pdu).toEqual(bytesOf('84 0B'));
    expect(through(parts([0, Uint8Array.of(0xff, ...frame)])).pdu).toEqual(bytesOf('84 0B'));
  });
});

describe('passed on as it came is', () => {
  test.each([
    ['an exception', fault('exception', { code: 6 }), '84 06'],
    ['another function', fault('wrong-function'), '03 04 12 34 00 FF'],
    ['an answer that lacks its last bytes', fault('short-frame'), '04 04 12 34'],
    ['an answer with bytes too many', fault('long-frame'), '04 04 12 34 00 FF 00 00'],
    ['the first of two answers', fault('same-address', { heard: 'both' }), '04 04 12 34 00 FF'],
    ['an answer whose bytes come slowly, in time', fault('dribble', { every: 20 }), '04 04 12 34 00 FF'],
    ['a late answer, in time', fault('late', { by: TIMEOUT_MS }), '04 04 12 34 00 FF'],
    ['an answer under a fault of Modbus TCP alone', fault('wrong-transaction'), '04 04 12 34 00 FF'],
  ])('%s', (_, one, hex) => {
    expect(spoiled(one).pdu).toEqual(bytesOf(hex));
  });

  test('an answer behind the late words of another unit: those let the time-out run on', () => {
    const heard = parts([0, encodeRtu(12, OTHER)], [30, encodeRtu(UNIT, REPLY)]);
    expect(through(heard).pdu).toEqual(REPLY);
    expect(through(heard).afterMs).toBeCloseTo(through(REPLY).afterMs + 30, 6);
  });

  test('late by as much as its device was', () => {
    const later = spoiled(fault('late', { by: 90 })).afterMs - through(REPLY).afterMs;
    expect(later).toBeCloseTo(90, 6);
  });
});

test('0A, at once, is for the addresses that no device on a serial line may have', () => {
  // 2.2: 1 to 247 are devices, 248 to 255 are reserved.
  const without = Array.from({ length: 256 }, (_, unit) => unit).filter(hasNoPath);
  expect(without).toEqual([248, 249, 250, 251, 252, 253, 254, 255]);
  expect(noPath(REQUEST)).toEqual(bytesOf('84 0A'));
});
