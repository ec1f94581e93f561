/** Device identification (MB-APP V1.1b3, 6.21): what is asked, what is said, and in how many answers. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  answer,
  decodeRequest,
  decodeResponse,
  encodeRequest,
  encodeResponse,
  type Identification,
  identificationOf,
  type Request,
} from '../../../src/modbus/index.ts';
import { bytesOf, hexOf } from './vectors.ts';

const BASIC = { vendorName: 've', productCode: 'pr', revision: '1' };
const BASIC_HEX = '00 02 76 65 01 02 70 72 02 01 31';
const REGULAR = { ...BASIC, modelName: 'mo' };

const said = (hex: string, identification: Identification) => hexOf(answer(bytesOf(hex), { identification }));
const latin = (text: string) => Uint8Array.from(Buffer.from(text, 'latin1'));

describe('a device that is asked what it is', () => {
  test('streams the basic objects, or all regular ones, in the order of their numbers', () => {
    const device = identificationOf({ modelName: 'mo', ...BASIC });
    expect(said('2B 0E 01 00', device)).toBe(`2B 0E 01 82 00 00 03 ${BASIC_HEX}`);
    expect(said('2B 0E 02 00', device)).toBe(`2B 0E 02 82 00 00 04 ${BASIC_HEX} 05 02 6D 6F`);
  });

  test('answers a level above its own at its own level', () => {
    expect(said('2B 0E 03 00', identificationOf(REGULAR))).toBe(
      `2B 0E 03 82 00 00 04 ${BASIC_HEX} 05 02 6D 6F`,
    );
    expect(said('2B 0E 02 00', identificationOf(BASIC))).toBe(`2B 0E 02 81 00 00 03 ${BASIC_HEX}`);
  });

  test('has the extended level with a private object, which no lower stream shows', () => {
    const device = identificationOf(BASIC, { 129: 'b', 128: 'a' });
    expect(said('2B 0E 03 00', device)).toBe(`2B 0E 03 83 00 00 05 ${BASIC_HEX} 80 01 61 81 01 62`);
    expect(said('2B 0E 02 00', device)).toBe(`2B 0E 02 83 00 00 03 ${BASIC_HEX}`);
    expect(said('2B 0E 04 81', device)).toBe('2B 0E 04 83 00 00 01 81 01 62');
  });

  test('gives a single object, of any level, and exception 02 for one it does not have', () => {
    const device = identificationOf(REGULAR);
    expect(said('2B 0E 04 01', device)).toBe('2B 0E 04 82 00 00 01 01 02 70 72');
    expect(said('2B 0E 04 05', device)).toBe('2B 0E 04 82 00 00 01 05 02 6D 6F');
    for (const id of ['03', '04', '07', '80', 'FF']) expect(said(`2B 0E 04 ${id}`, device)).toBe('AB 02');
  });

  test('begins a stream where it is told, and anew for an object that is not in the stream', () => {
    const device = identificationOf(REGULAR);
    expect(said('2B 0E 01 02', device)).toBe('2B 0E 01 82 00 00 01 02 01 31');
    expect(said('2B 0E 02 05', device)).toBe('2B 0E 02 82 00 00 01 05 02 6D 6F');
    for (const id of ['03', '05', '80']) {
      expect(said(`2B 0E 01 ${id}`, device), 'no basic object').toBe(`2B 0E 01 82 00 00 03 ${BASIC_HEX}`);
    }
  });

  test('refuses another interface with exception 01, a bad read code or length with 03', () => {
    const device = identificationOf(REGULAR);
    for (const hex of ['2B 0D 01 00', '2B 0F', '2B 00 00 00 00']) expect(said(hex, device)).toBe('AB 01');
    for (const hex of ['2B 0E 00 00', '2B 0E 05 00', '2B 0E FF 00']) expect(said(hex, device)).toBe('AB 03');
    for (const hex of ['2B', '2B 0E', '2B 0E 01', '2B 0E 01 00 00']) expect(said(hex, device)).toBe('AB 03');
  });

  test('says what does not fit into 253 bytes in the next answer, whole objects only', () => {
    // 7 bytes of head and two for each object leave 244 to a lone text, 242 to two.
    const exact = identificationOf({
      vendorName: 'v'.repeat(121),
      productCode: 'p'.repeat(121),
      revision: '',
    });
    const first = answer(bytesOf('2B 0E 01 00'), { identification: exact });
    expect(first).toHaveLength(253);
    expect(hexOf(first.subarray(0, 7)), 'goes on from object 2').toBe('2B 0E 01 81 FF 02 02');
    expect(said('2B 0E 01 02', exact)).toBe('2B 0E 01 81 00 00 01 02 00');
    const over = identificationOf({
      vendorName: 'v'.repeat(121),
      productCode: 'p'.repeat(122),
      revision: '',
    });
    const cut = answer(bytesOf('2B 0E 01 00'), { identification: over });
    expect(hexOf(cut.subarray(0, 7)), 'goes on from object 1').toBe('2B 0E 01 81 FF 01 01');
    expect(cut).toHaveLength(130);
  });

  test('is heard out by whoever goes on where each answer says, whatever its objects', () => {
    const text = fc.string({ unit: 'grapheme', maxLength: 300 });
    const texts = fc.record(
      {
        vendorName: text,
        productCode: text,
        revision: text,
        vendorUrl: text,
        productName: text,
        modelName: text,
        userApplicationName: text,
      },
      { requiredKeys: ['vendorName', 'productCode', 'revision'] },
    );
    const own = fc.dictionary(fc.integer({ min: 0x80, max: 0xff }).map(String), text, { maxKeys: 4 });
    fc.assert(
      fc.property(texts, own, (named, mine) => {
        const identification = identificationOf(named, mine);
        expect(heard(identification)).toEqual(identification);
        expect(identification).toHaveLength(Object.keys(named).length + Object.keys(mine).length);
      }),
    );
  });
});

/** Every object of the extended stream, one request after the other, as a client would ask. */
function heard(identification: Identification): Identification {
  const objects = [];
  let next: number | null = 0;
  while (next !== null) {
    const request: Request = { kind: 'identify', functionCode: 0x2b, readCode: 3, objectId: next };
    const pdu = answer(encodeRequest(request), { identification });
    expect(pdu.length).toBeLessThanOrEqual(253);
    const response = decodeResponse(pdu, request);
    if (response.kind !== 'identify') throw new Error(JSON.stringify(response));
    objects.push(...response.objects);
    next = response.nextObjectId;
  }
  return objects;
}

describe('the objects of a device', () => {
  test('are ASCII and short enough for one answer, whatever a profile is called', () => {
    const [vendor, product, revision] = identificationOf({
      vendorName: 'Kälte 🧊 ~',
      productCode: 'line\nbreak\u007f',
      revision: 'x'.repeat(300),
    });
    expect(vendor?.value).toEqual(latin('K?lte ? ~'));
    expect(product?.value).toEqual(latin('line?break?'));
    expect(revision?.value).toEqual(latin('x'.repeat(244)));
  });

  test('of its own are numbered from 80 to FF', () => {
    expect(identificationOf(BASIC, { 128: '', 255: '' }).map(({ id }) => id)).toEqual([0, 1, 2, 0x80, 0xff]);
    for (const id of [0x00, 0x7f, 0x100, 128.5]) {
      expect(() => identificationOf(BASIC, { [id]: 'x' }), String(id)).toThrow(RangeError);
    }
  });
});

describe('a request for identification', () => {
  const request: Request = { kind: 'identify', functionCode: 0x2b, readCode: 1, objectId: 0 };

  test('is four bytes, as printed in MB-APP 6.21', () => {
    expect(hexOf(encodeRequest(request))).toBe('2B 0E 01 00');
    expect(decodeRequest(bytesOf('2B 0E 01 00'))).toEqual(request);
    expect(decodeRequest(bytesOf('2B 0E 04 80'))).toEqual({ ...request, readCode: 4, objectId: 0x80 });
  });

  // The standard prints this example with a text of 15 letters beside a length of 13; ours has 13.
  const EXAMPLE = `2B 0E 01 01 00 00 03 00 16 ${hexOf(latin('Company identification'))} 01 0D ${hexOf(
    latin('Product code '),
  )} 02 05 ${hexOf(latin('V2.11'))}`;

  test('is answered with the objects, as in the example of MB-APP 6.21', () => {
    const response = {
      kind: 'identify',
      functionCode: 0x2b,
      readCode: 1,
      conformity: 1,
      nextObjectId: null,
      objects: [
        { id: 0, value: latin('Company identification') },
        { id: 1, value: latin('Product code ') },
        { id: 2, value: latin('V2.11') },
      ],
    } as const;
    expect(decodeResponse(bytesOf(EXAMPLE), request)).toEqual(response);
    expect(hexOf(encodeResponse(response))).toBe(EXAMPLE);
  });

  test('takes no answer with a byte more or less', () => {
    const pdu = bytesOf(EXAMPLE);
    const mismatched = { kind: 'mismatched', field: 'length' };
    for (let length = 1; length < pdu.length; length += 1) {
      expect(decodeResponse(pdu.subarray(0, length), request), `${length} bytes`).toEqual(mismatched);
    }
    expect(decodeResponse(Uint8Array.from([...pdu, 0]), request)).toEqual(mismatched);
  });

  test.each([
    ['echo', 'another interface', '2B 0D 01 81 00 00 01 00 01 61', 1],
    ['echo', 'another read code', '2B 0E 02 81 00 00 01 00 01 61', 1],
    ['echo', 'another object than the one asked for', '2B 0E 04 81 00 00 01 01 01 61', 4],
    ['identification', 'no level', '2B 0E 01 80 00 00 01 00 01 61', 1],
    ['identification', 'a level unheard of', '2B 0E 01 84 00 00 01 00 01 61', 1],
    ['identification', 'neither more nor no more', '2B 0E 01 81 01 01 01 00 01 61', 1],
    ['identification', 'no object', '2B 0E 01 81 00 00 00', 1],
    ['identification', 'two objects for one', '2B 0E 04 81 00 00 02 00 01 61 01 01 62', 4],
    ['identification', 'more to come of one object', '2B 0E 04 81 FF 01 01 00 01 61', 4],
    ['length', 'fewer objects than it counts', '2B 0E 01 81 00 00 02 00 01 61', 1],
    ['length', 'more objects than it counts', '2B 0E 01 81 00 00 01 00 01 61 01 01 62', 1],
    ['length', 'an object that ends after the answer', '2B 0E 01 81 00 00 01 00 02 61', 1],
    ['exceptionCode', 'an exception unheard of', 'AB 07', 1],
  ] as const)('takes no answer by its %s: %s', (field, _, hex, readCode) => {
    expect(decodeResponse(bytesOf(hex), { ...request, readCode })).toEqual({ kind: 'mismatched', field });
  });

  test('takes an exception, and ignores the next object where nothing follows', () => {
    expect(decodeResponse(bytesOf('AB 02'), request)).toEqual({
      kind: 'exception',
      functionCode: 0x2b,
      code: 2,
    });
    expect(decodeResponse(bytesOf('2B 0E 01 81 00 05 01 00 01 61'), request)).toMatchObject({
      nextObjectId: null,
    });
    expect(decodeResponse(bytesOf('2B 0E 01 81 FF 02 01 00 01 61'), request)).toMatchObject({
      nextObjectId: 2,
    });
  });

  test('takes any bytes for an answer or for a mismatch, never for a throw', () => {
    const head = fc.tuple(
      fc.constantFrom(0x2b, 0xab),
      fc.constantFrom(0x0e, 0x0d),
      fc.constantFrom(1, 3, 4),
      fc.constantFrom(0x01, 0x83, 0x00),
      fc.constantFrom(0, 0xff, 1),
      fc.nat(6),
      fc.nat(4),
    );
    const tail = fc.array(fc.oneof(fc.nat(4), fc.nat(255)), { maxLength: 40 });
    fc.assert(
      fc.property(head, tail, fc.nat(48), fc.constantFrom(1, 2, 3, 4), (first, rest, length, readCode) => {
        const pdu = Uint8Array.from([...first, ...rest].slice(0, length));
        const response = decodeResponse(pdu, { ...request, readCode });
        expect(['identify', 'exception', 'mismatched']).toContain(response.kind);
        // What was taken for an answer is that answer, to the byte, but for a next object that says nothing.
        if (response.kind !== 'identify') return;
        const again = encodeResponse(response);
        expect(again).toEqual(pdu[4] === 0 ? pdu.with(5, 0) : pdu);
      }),
      { numRuns: 2000 },
    );
  });
});

test('an answer is never encoded with no object, too many bytes, or a number that no byte holds', () => {
  const object = { id: 0, value: latin('a') };
  const good = {
    kind: 'identify',
    functionCode: 0x2b,
    readCode: 1,
    conformity: 0x81,
    nextObjectId: null,
    objects: [object],
  } as const;
  expect(encodeResponse({ ...good, objects: [{ id: 0, value: new Uint8Array(244) }] })).toHaveLength(253);
  for (const bad of [
    { ...good, objects: [] },
    { ...good, objects: [{ id: 0, value: new Uint8Array(245) }] },
    { ...good, objects: [{ ...object, id: 256 }] },
    { ...good, conformity: 0x84 },
    { ...good, conformity: 0x181 },
    { ...good, nextObjectId: 256 },
    { ...good, readCode: 4, nextObjectId: 1 },
    { ...good, readCode: 4, objects: [object, object] },
  ] as const) {
    expect(() => encodeResponse(bad), JSON.stringify(bad)).toThrow(RangeError);
  }
});
