import { describe, expect, test } from 'vitest';
import {
  type Emission,
  encodeFrame,
  type Received,
  type Request,
  receive,
} from '../../../src/modbus/index.ts';
import { unitId } from '../../../src/units/index.ts';

const ASKED: Request = { kind: 'read', functionCode: 4, address: 0, quantity: 2 };
const GOOD = [4, 4, 0x12, 0x34, 0x00, 0xff] as const;
const ID = 0x1501;

const frame = (pdu: readonly number[], unit = 11, id = ID) =>
  encodeFrame(id, unitId(unit), Uint8Array.from(pdu));
const heard = (...parts: readonly (readonly [number, Uint8Array])[]): Received => {
  const emission: Emission = { parts: parts.map(([afterMs, bytes]) => ({ afterMs, bytes })), hangsUp: false };
  return receive(emission, { transactionId: ID, unitId: 11, request: ASKED });
};

describe('a careful client', () => {
  test('takes the answer to its request, when its last byte has come', () => {
    const pdu = Uint8Array.from(GOOD);
    expect(heard([5, frame(GOOD)])).toEqual({ kind: 'answered', pdu, afterMs: 5 });
    const bytes = [...frame(GOOD)].map((byte, at) => [at * 2, Uint8Array.of(byte)] as const);
    expect(heard(...bytes)).toEqual({ kind: 'answered', pdu, afterMs: 24 });
  });

  test('takes the first of two answers', () => {
    const second = frame([4, 4, 0xde, 0xad, 0xbe, 0xef]);
    expect(heard([0, Uint8Array.of(...frame(GOOD), ...second)])).toMatchObject({
      pdu: Uint8Array.from(GOOD),
    });
  });

  test('waits past the answer to another request, also where both come at once', () => {
    expect(heard([0, frame(GOOD, 11, ID - 1)])).toEqual({ kind: 'nothing' });
    expect(heard([0, frame(GOOD, 11, ID - 1)], [9, frame(GOOD)])).toMatchObject({
      kind: 'answered',
      afterMs: 9,
    });
    const both = Uint8Array.of(...frame(GOOD, 11, ID - 1), ...frame(GOOD));
    expect(heard([3, both])).toMatchObject({ kind: 'answered', afterMs: 3 });
  });

  test('hears nothing in half a header, half a frame or nothing at all', () => {
    expect(heard()).toEqual({ kind: 'nothing' });
    for (const length of [3, 6, 9, 12]) {
      expect(heard([0, frame(GOOD).subarray(0, length)])).toEqual({ kind: 'nothing' });
    }
  });

  test('takes an exception, whoever sends it', () => {
    const refused = { kind: 'refused', exception: 7, afterMs: 0 };
    expect(heard([0, frame([0x84, 7])])).toEqual(refused);
    expect(heard([0, frame([0x84, 7], 12)])).toEqual(refused);
  });

  test.each([
    ['another unit', frame(GOOD, 12), 'unitId'],
    ['another function', frame([3, ...GOOD.slice(1)]), 'functionCode'],
    ['bytes too few', frame(GOOD.slice(0, -2)), 'length'],
    ['bytes too many', frame([...GOOD, 0, 0]), 'length'],
    ['an exception without a code', frame([0x84]), 'length'],
    ['a frame without a PDU', frame(GOOD).subarray(0, 7).with(5, 1), 'functionCode'],
  ])('takes no number from %s', (_, bytes, field) => {
    expect(heard([0, bytes])).toEqual({ kind: 'mismatched', field, afterMs: 0 });
  });
});
