/** What each fault of the wire makes of an answer's bytes, in both kinds of frame. */
import { describe, expect, test } from 'vitest';
import { WIRE_FAULT_KINDS, type WireFault } from '../../../sim/faults/index.ts';
import { disturbed } from '../../../sim/wire/disturb.ts';
import { encodeFrame, encodeRtu, type Framing, isSoundRtu } from '../../../src/modbus/index.ts';
import { unitId } from '../../../src/units/index.ts';
import { bytesOf, hexOf } from '../../src/modbus/vectors.ts';

const UNIT = unitId(11);
const PDU = '04 04 12 34 00 FF';
const OTHER = '04 04 DE AD BE EF';
const NOISE = Uint8Array.from({ length: 13 }, (_, at) => 0x30 + at);
const MBAP: Framing = { kind: 'mbap', transactionId: 0x1501 };
const RTU: Framing = { kind: 'rtu', silenceMs: 4 };

const fault = (kind: WireFault['kind'], parameters: object = {}) =>
  ({ kind, parameters, probability: 1 }) as WireFault;
const sent = (framing: Framing, ...faults: readonly WireFault[]) =>
  disturbed(faults, { unitId: UNIT, pdu: bytesOf(PDU), otherPdu: bytesOf(OTHER), noise: NOISE }).emission(
    framing,
  );
const tcp = (pdu: string, unit = UNIT, id = 0x1501) => encodeFrame(id, unit, bytesOf(pdu));
const rtu = (pdu: string, unit = UNIT) => encodeRtu(unit, bytesOf(pdu));
const once = (bytes: Uint8Array, afterMs = 0) => ({ parts: [{ afterMs, bytes }], hangsUp: false });

test('without a fault it is the sound frame, at once', () => {
  expect(sent(MBAP)).toEqual(once(tcp(PDU)));
  expect(sent(RTU)).toEqual(once(rtu(PDU)));
});

/** The PDU and the unit that a fault leaves behind, in both kinds of frame. */
const REFRAMED = [
  [fault('exception', { code: 6 }), '84 06', 11],
  [fault('wrong-unit'), PDU, 12],
  [fault('wrong-function'), '03 04 12 34 00 FF', 11],
  [fault('short-frame'), '04 04 12 34', 11],
  [fault('long-frame'), `${PDU} 00 00`, 11],
] as const;

test.each(REFRAMED)('$0.kind: a frame whose length, or checksum, is right', (one, pdu, unit) => {
  expect(sent(MBAP, one)).toEqual(once(tcp(pdu, unitId(unit))));
  expect(sent(RTU, one)).toEqual(once(rtu(pdu, unitId(unit))));
});

describe('a fault of one kind of frame leaves the other sound', () => {
  test('wrong-transaction: the number of the request before, the first after the last', () => {
    expect(sent(MBAP, fault('wrong-transaction'))).toEqual(once(tcp(PDU, UNIT, 0x1500)));
    const first = sent({ kind: 'mbap', transactionId: 0 }, fault('wrong-transaction'));
    expect(first).toEqual(once(tcp(PDU, UNIT, 0xffff)));
    expect(sent(RTU, fault('wrong-transaction'))).toEqual(once(rtu(PDU)));
  });

  test('bad-crc: both bytes before the last one are still right', () => {
    const [part] = sent(RTU, fault('bad-crc')).parts;
    expect(part?.bytes).toEqual(rtu(PDU).with(-1, (rtu(PDU).at(-1) ?? 0) ^ 0xff));
    expect(sent(MBAP, fault('bad-crc'))).toEqual(once(tcp(PDU)));
  });
});

describe('same-address', () => {
  const MIXED = '04 04 04 04 12 DE 34 AD 00 BE FF EF';

  test('garbled: bytes of both in turn, in a frame over TCP, with a checksum of neither on a serial line', () => {
    const garbled = fault('same-address', { heard: 'garbled' });
    expect(sent(MBAP, garbled)).toEqual(once(tcp(MIXED)));
    const [part] = sent(RTU, garbled).parts;
    expect(hexOf(part?.bytes.subarray(1, -2) ?? NOISE)).toBe(MIXED);
    expect(isSoundRtu(part?.bytes ?? NOISE)).toBe(false);
  });

  test('both: one answer after the other, on a serial line after the silence that parts them', () => {
    const both = fault('same-address', { heard: 'both' });
    expect(sent(MBAP, both).parts).toEqual([...once(tcp(PDU)).parts, ...once(tcp(OTHER)).parts]);
    expect(sent(RTU, both).parts).toEqual([...once(rtu(PDU)).parts, ...once(rtu(OTHER), 4).parts]);
  });
});

describe.each([
  ['Modbus TCP', MBAP, tcp(PDU)],
  ['RTU', RTU, rtu(PDU)],
] as const)('over %s', (_, framing, frame) => {
  test('garbage: noise as long as the answer', () => {
    expect(sent(framing, fault('garbage'))).toEqual(once(NOISE.subarray(0, frame.length)));
  });

  test('drop-connection: half of it, then the end', () => {
    const half = frame.subarray(0, frame.length >> 1);
    expect(sent(framing, fault('drop-connection'))).toEqual({ ...once(half), hangsUp: true });
  });

  test('dribble: every byte at its time', () => {
    const slow = [...frame].map((byte, at) => ({ afterMs: at * 3, bytes: Uint8Array.of(byte) }));
    expect(sent(framing, fault('dribble', { every: 3 }))).toEqual({ parts: slow, hangsUp: false });
  });

  test('late, lossy, refuse: later, not at all, not at all and closed', () => {
    expect(sent(framing, fault('late', { by: 70 }))).toEqual(once(frame, 70));
    expect(sent(framing, fault('lossy'))).toEqual({ parts: [], hangsUp: false });
    expect(sent(framing, fault('refuse'))).toEqual({ parts: [], hangsUp: true });
  });

  test('several strike in the order of the table, whatever order they are given in', () => {
    const [late, unit] = [fault('late', { by: 70 }), fault('wrong-unit')];
    expect(sent(framing, late, unit)).toEqual(sent(framing, unit, late));
    expect(sent(framing, late, unit).parts).toMatchObject([{ afterMs: 70 }]);
    expect(sent(framing, late, unit)).not.toEqual(sent(framing, late));
  });

  test.each(WIRE_FAULT_KINDS.map((kind) => [kind]))(
    '%s together with refuse strikes nothing: there is no answer',
    (kind) => {
      const parameters = { code: 4, heard: 'garbled', every: 2, by: 10 };
      const answer = { unitId: UNIT, pdu: new Uint8Array(0), otherPdu: bytesOf(OTHER), noise: NOISE };
      const struck = disturbed([fault(kind, parameters), fault('refuse')], answer);
      expect(struck.emission(framing)).toEqual({ parts: [], hangsUp: true });
    },
  );
});
