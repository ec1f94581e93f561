/**
 * The careful client of a serial line: it takes the answer to its request wherever that stands among the
 * bytes, and nothing that is cut, changed or somebody else's (MODBUS over Serial Line V1.02, 2.4.1, 2.5.1.2).
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  answer,
  decodeResponse,
  encodeRequest,
  encodeRtu,
  identificationOf,
  type Request,
  rtuAnswer,
  rtuMismatch,
} from '../../../src/modbus/index.ts';
import { anyRequest } from './arbitraries.ts';
import { bytesOf, hexOf, VECTORS } from './vectors.ts';

const UNIT = 17;
const READ: Request = { kind: 'read', functionCode: 4, address: 8, quantity: 1 };
const GOOD = '04 02 00 0A';
const IDENTIFY: Request = { kind: 'identify', functionCode: 43, readCode: 1, objectId: 0 };
const OBJECTS = '2B 0E 01 81 00 00 03 00 02 76 65 01 00 02 01 31';

const rtu = (pdu: string, unit = UNIT) => encodeRtu(unit, bytesOf(pdu));
const joined = (...parts: readonly Uint8Array[]) => Uint8Array.from(parts.flatMap((part) => [...part]));
const broken = (frame: Uint8Array) => frame.with(-1, (frame.at(-1) ?? 0) ^ 1);
const taken = (bytes: Uint8Array, request: Request = READ) => {
  const pdu = rtuAnswer(bytes, { unitId: UNIT, request });
  return pdu === null ? null : hexOf(pdu);
};
const mismatch = (bytes: Uint8Array) => rtuMismatch(bytes, { unitId: UNIT, request: READ });

describe('the answer is taken', () => {
  const sound = VECTORS.map(({ clause, request, responseHex }) => [clause, responseHex, request] as const);
  test.each([...sound, ['6.21 identification', OBJECTS, IDENTIFY] as const])(
    '%s: with its last byte and not before',
    (_, hex, request) => {
      const frame = rtu(hex);
      for (let length = 0; length < frame.length; length += 1) {
        expect(taken(frame.subarray(0, length), request), `${length} bytes`).toBe(null);
      }
      expect(taken(frame, request)).toBe(hex);
    },
  );

  test.each([
    ['noise', bytesOf('00 FF 11 04')],
    ['the unit itself, again and again', bytesOf('11 11 11')],
    ['the late answer of another unit', rtu(GOOD, 12)],
    ['the answer to another function', rtu('03 02 00 0A')],
    ['an answer of another length', rtu('04 04 00 0A 00 0B')],
    ['the request, as some adapters echo it', rtu('04 00 08 00 01')],
    ['an answer that is cut', rtu(GOOD).subarray(0, 5)],
    ['an answer with a wrong checksum', broken(rtu('04 02 FF FF'))],
  ])('behind %s', (_, before) => {
    expect(taken(before)).toBe(null);
    expect(taken(joined(before, rtu(GOOD)))).toBe(GOOD);
    expect(taken(joined(before, rtu('84 02')))).toBe('84 02');
    const late = joined(before, rtu(GOOD));
    expect(taken(late.subarray(0, late.length - 1))).toBe(null);
  });

  test('though more follows, and the first of two', () => {
    expect(taken(joined(rtu(GOOD), bytesOf('00 FF')))).toBe(GOOD);
    expect(taken(joined(rtu(GOOD), rtu('04 02 FF FF')))).toBe(GOOD);
  });

  test('an exception to its function, none to another', () => {
    expect(taken(rtu('84 0B'))).toBe('84 0B');
    expect(taken(rtu('83 02'))).toBe(null);
    expect(taken(rtu('84'))).toBe(null);
    expect(taken(rtu('84 02', 12))).toBe(null);
  });

  test('as bytes of its own', () => {
    const bytes = rtu(GOOD);
    const pdu = rtuAnswer(bytes, { unitId: UNIT, request: READ });
    bytes.fill(0);
    expect(pdu).toEqual(bytesOf(GOOD));
  });
});

describe('an identification ends where its objects do', () => {
  test('with none, one, or as many as fit', () => {
    for (const hex of ['2B 0E 01 81 00 00 00', '2B 0E 01 81 00 00 01 00 03 61 62 63']) {
      expect(taken(rtu(hex), IDENTIFY)).toBe(hex);
    }
    const long = { vendorName: 'v'.repeat(80), productCode: 'p'.repeat(80), revision: 'r'.repeat(70) };
    const pdu = answer(encodeRequest(IDENTIFY), { identification: identificationOf(long) });
    expect(pdu.length).toBeGreaterThan(240);
    expect(taken(encodeRtu(UNIT, pdu), IDENTIFY)).toBe(hexOf(pdu));
  });

  test('and is none where it has more objects, or bytes, than it says', () => {
    expect(taken(rtu('2B 0E 01 81 00 00 01 00 01 61 01 01 62'), IDENTIFY)).toBe(null);
    expect(taken(rtu('2B 0E 01 81 00 00 02 00 01 61'), IDENTIFY)).toBe(null);
    expect(taken(rtu('2B 0E 01 81 00 00 01 00 FF 61'), IDENTIFY)).toBe(null);
  });
});

test.each([
  ['nothing at all', new Uint8Array(0), null],
  ['noise', bytesOf('00 FF 11 04 55'), 'checksum'],
  ['too few bytes for a frame', bytesOf('11'), 'checksum'],
  ['a frame that is cut', rtu(GOOD).subarray(0, 6), 'checksum'],
  ['a frame with a wrong checksum', broken(rtu(GOOD)), 'checksum'],
  ['two frames of others', joined(rtu(GOOD, 12), rtu(GOOD, 13)), 'checksum'],
  ['another unit', rtu(GOOD, 12), 'unitId'],
  ['another function', rtu('03 02 00 0A'), 'functionCode'],
  ['an exception to another function', rtu('83 02'), 'functionCode'],
  ['bytes too few', rtu('04 02 00'), 'length'],
  ['bytes too many', rtu('04 04 00 0A 00 0B'), 'length'],
])('%s: is called by what is wrong with it', (_, bytes, field) => {
  expect(mismatch(bytes)).toBe(field);
  expect(taken(bytes)).toBe(null);
});

describe('whatever a device says', () => {
  const registers = fc.uint8Array({ minLength: 8, maxLength: 40 });
  const texts = fc.record({ vendorName: fc.string({ maxLength: 9 }), productCode: fc.constant('p') });
  /** A request, and the frame with which a device that has everything answers it. */
  const exchange = fc.tuple(anyRequest(), registers, texts).map(([request, values, names]) => {
    const valueAt = (at: number) => values[at % values.length] ?? 0;
    const table = (bits: 1 | 16) => ({
      covers: () => true,
      read: (at: number) => (bits === 1 ? valueAt(at) & 1 : valueAt(at) * 0x101),
      refuses: () => undefined,
      write: () => undefined,
    });
    const pdu = answer(encodeRequest(request), {
      ...{ coils: table(1), discreteInputs: table(1) },
      ...{ inputRegisters: table(16), holdingRegisters: table(16) },
      identification: identificationOf({ ...names, revision: '1' }),
    });
    return { request, pdu, frame: encodeRtu(UNIT, pdu) };
  });

  test('is taken, and means what it meant before it went out', () => {
    const property = fc.property(exchange, ({ request, pdu, frame }) => {
      const heard = rtuAnswer(frame, { unitId: UNIT, request });
      expect(heard).toEqual(pdu);
      expect(decodeResponse(heard ?? frame, request).kind).not.toBe('mismatched');
    });
    fc.assert(property);
  });

  test('is not taken with any one of its bits changed, nor with any of its last bytes missing', () => {
    const property = fc.property(exchange, ({ request, frame }) => {
      for (let bit = 0; bit < frame.length * 8; bit += 1) {
        const changed = frame.with(bit >> 3, (frame[bit >> 3] ?? 0) ^ (1 << (bit & 7)));
        if (rtuAnswer(changed, { unitId: UNIT, request }) !== null) expect.fail(`bit ${bit}`);
        if (rtuMismatch(changed, { unitId: UNIT, request }) !== 'checksum') expect.fail(`bit ${bit}`);
      }
      for (let length = 0; length < frame.length; length += 1) {
        const cut = frame.subarray(0, length);
        if (rtuAnswer(cut, { unitId: UNIT, request }) !== null) expect.fail(`${length} bytes`);
      }
    });
    fc.assert(property, { numRuns: 50 });
  });
});
