import { describe, expect, test } from 'vitest';
import {
  type Emission,
  encodeFrame,
  encodeRtu,
  type Framing,
  type Received,
  type Request,
  receive,
} from '../../../src/modbus/index.ts';
import { unitId } from '../../../src/units/index.ts';

const ASKED: Request = { kind: 'read', functionCode: 4, address: 0, quantity: 2 };
const GOOD = [4, 4, 0x12, 0x34, 0x00, 0xff] as const;
const OTHER = [4, 4, 0xde, 0xad, 0xbe, 0xef] as const;
const ID = 0x1501;
const TIMEOUT_MS = 300;

const mbap = (pdu: readonly number[], unit = 11, id = ID) =>
  encodeFrame(id, unitId(unit), Uint8Array.from(pdu));
const rtu = (pdu: readonly number[], unit = 11) => encodeRtu(unit, Uint8Array.from(pdu));
const joined = (...parts: readonly Uint8Array[]) => Uint8Array.from(parts.flatMap((part) => [...part]));

type Part = readonly [number, Uint8Array];

function heardIn(framing: Framing) {
  return (...parts: readonly Part[]): Received => {
    const emission: Emission = {
      parts: parts.map(([afterMs, bytes]) => ({ afterMs, bytes })),
      hangsUp: false,
    };
    return receive(emission, { framing, unitId: 11, request: ASKED, timeoutMs: TIMEOUT_MS });
  };
}

const overMbap = heardIn({ kind: 'mbap', transactionId: ID });
const overRtu = heardIn({ kind: 'rtu', silenceMs: 2 });
const answered = (afterMs: number, pdu: readonly number[] = GOOD) => {
  return { kind: 'answered', pdu: Uint8Array.from(pdu), afterMs };
};
const NOTHING = { kind: 'nothing', afterMs: TIMEOUT_MS };

describe.each([
  ['Modbus TCP', overMbap, mbap],
  ['RTU', overRtu, rtu],
] as const)('a careful client of %s', (_, heard, frame) => {
  test('takes the answer to its request, when its last byte has come', () => {
    expect(heard([5, frame(GOOD)])).toEqual(answered(5));
    const bytes = [...frame(GOOD)].map((byte, at) => [at * 2, Uint8Array.of(byte)] as const);
    expect(heard(...bytes)).toEqual(answered((bytes.length - 1) * 2));
  });

  test('takes the first of two answers, together or one after the other', () => {
    expect(heard([0, joined(frame(GOOD), frame(OTHER))])).toEqual(answered(0));
    expect(heard([0, frame(GOOD)], [2, frame(OTHER)])).toEqual(answered(0));
  });

  test('hears what comes with the end of its time-out, and nothing after', () => {
    expect(heard([TIMEOUT_MS, frame(GOOD)])).toEqual(answered(TIMEOUT_MS));
    expect(heard([TIMEOUT_MS + 1, frame(GOOD)])).toEqual(NOTHING);
    const [begun, rest] = [frame(GOOD).subarray(0, 5), frame(GOOD).subarray(5)];
    expect(heard([0, begun], [TIMEOUT_MS + 1, rest]).kind).not.toBe('answered');
  });

  test('takes an exception to its function', () => {
    expect(heard([3, frame([0x84, 7])])).toEqual({ kind: 'refused', exception: 7, afterMs: 3 });
  });

  test('hears nothing in nothing at all', () => {
    expect(heard()).toEqual(NOTHING);
    expect(heard([0, new Uint8Array(0)])).toEqual(NOTHING);
  });
});

describe('over Modbus TCP, where the transaction number says whose answer it is,', () => {
  test('the answer to another request is waited past, also where both come at once', () => {
    const before = mbap(GOOD, 11, ID - 1);
    expect(overMbap([0, before])).toEqual(NOTHING);
    expect(overMbap([0, before], [9, mbap(GOOD)])).toEqual(answered(9));
    expect(overMbap([3, joined(before, mbap(GOOD))])).toEqual(answered(3));
  });

  test('half a header or half a frame is nothing', () => {
    for (const length of [3, 6, 9, 12]) {
      expect(overMbap([0, mbap(GOOD).subarray(0, length)])).toEqual(NOTHING);
    }
  });

  test('an exception is taken whoever sends it', () => {
    expect(overMbap([0, mbap([0x84, 7], 12)])).toEqual({ kind: 'refused', exception: 7, afterMs: 0 });
  });

  test.each([
    ['another unit', mbap(GOOD, 12), 'unitId'],
    ['another function', mbap([3, ...GOOD.slice(1)]), 'functionCode'],
    ['bytes too few', mbap(GOOD.slice(0, -2)), 'length'],
    ['bytes too many', mbap([...GOOD, 0, 0]), 'length'],
    ['an exception without a code', mbap([0x84]), 'length'],
    ['a frame without a PDU', mbap(GOOD).subarray(0, 7).with(5, 1), 'functionCode'],
  ])('no number is taken from %s, and that is certain at once', (_, bytes, field) => {
    expect(overMbap([4, bytes])).toEqual({ kind: 'mismatched', field, afterMs: 4 });
  });
});

describe('over RTU, where a frame is known by unit, function, length and checksum alone,', () => {
  test('what is none may stand before the answer', () => {
    const noise = Uint8Array.of(11, 4, 0xff);
    expect(overRtu([0, noise], [9, rtu(GOOD)])).toEqual(answered(9));
    expect(overRtu([0, rtu(OTHER, 12)], [9, rtu(GOOD)])).toEqual(answered(9));
    expect(overRtu([0, joined(rtu(OTHER, 12), rtu(GOOD))])).toEqual(answered(0));
  });

  test.each([
    ['another unit', rtu(GOOD, 12), 'unitId'],
    ['another unit that refuses', rtu([0x84, 7], 12), 'unitId'],
    ['another function', rtu([3, ...GOOD.slice(1)]), 'functionCode'],
    ['bytes too few', rtu(GOOD.slice(0, -2)), 'length'],
    ['bytes too many', rtu([...GOOD, 0, 0]), 'length'],
    ['an answer that is cut', rtu(GOOD).subarray(0, 7), 'checksum'],
    ['a wrong checksum', rtu(GOOD).with(-1, (rtu(GOOD).at(-1) ?? 0) ^ 1), 'checksum'],
  ])('no number is taken from %s, and that is certain when time is up', (_, bytes, field) => {
    expect(overRtu([4, bytes])).toEqual({ kind: 'mismatched', field, afterMs: TIMEOUT_MS });
  });

  test('a count of bytes that disagrees with the length is one that could not be read', () => {
    const wrong = rtu([4, 2, ...GOOD.slice(2)]);
    expect(overRtu([4, wrong])).toEqual({ kind: 'mismatched', field: 'length', afterMs: 4 });
  });

  test('what comes after the time-out does not even spoil what came before', () => {
    expect(overRtu([TIMEOUT_MS + 1, rtu(GOOD, 12)])).toEqual(NOTHING);
  });
});
