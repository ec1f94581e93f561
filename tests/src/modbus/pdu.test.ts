import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  decodeRequest,
  decodeResponse,
  encodeRequest,
  encodeResponse,
  FUNCTIONS,
  type Request,
} from '../../../src/modbus/index.ts';
import { anyRequest } from './arbitraries.ts';
import { bytesOf, hexOf, VECTORS } from './vectors.ts';

const ILLEGAL_DATA_VALUE = 0x03;

describe.each(VECTORS)('MB-APP $clause', ({ requestHex, responseHex, request, response }) => {
  test('encodes and decodes the request as printed', () => {
    expect(hexOf(encodeRequest(request))).toBe(requestHex);
    expect(decodeRequest(bytesOf(requestHex))).toEqual(request);
  });

  test('encodes and decodes the response as printed', () => {
    expect(hexOf(encodeResponse(response))).toBe(responseHex);
    expect(decodeResponse(bytesOf(responseHex), request)).toEqual(response);
  });

  test('takes neither with a byte more or less', () => {
    const long = bytesOf(`${requestHex} 00`);
    const refused = { kind: 'exception', functionCode: request.functionCode, code: ILLEGAL_DATA_VALUE };
    expect(decodeRequest(long)).toEqual(refused);
    for (let length = 1; length < long.length - 1; length += 1) {
      expect(decodeRequest(long.subarray(0, length))).toEqual(refused);
    }
    const mismatched = { kind: 'mismatched', field: 'length' };
    expect(decodeResponse(bytesOf(`${responseHex} 00`), request)).toEqual(mismatched);
    for (let length = 1; length < bytesOf(responseHex).length; length += 1) {
      expect(decodeResponse(bytesOf(responseHex).subarray(0, length), request)).toEqual(mismatched);
    }
  });
});

describe('a request', () => {
  test.each([
    [0x01, 2000],
    [0x02, 2000],
    [0x03, 125],
    [0x04, 125],
  ])('of function %i may read 1 to %i values', (functionCode, quantityMax) => {
    const asks = (quantity: number) =>
      decodeRequest(Uint8Array.of(functionCode, 0, 0, quantity >> 8, quantity & 0xff)).kind;
    expect([0, 1, quantityMax, quantityMax + 1, 0xffff].map(asks)).toEqual([
      'exception',
      'read',
      'read',
      'exception',
      'exception',
    ]);
  });

  test.each([
    [0x0f, 1968, (quantity: number) => Math.ceil(quantity / 8)],
    [0x10, 123, (quantity: number) => 2 * quantity],
  ])('of function %i may write 1 to %i values', (functionCode, quantityMax, byteCountOf) => {
    const asks = (quantity: number, byteCount: number) => {
      const head = [functionCode, 0, 0, quantity >> 8, quantity & 0xff, byteCount];
      return decodeRequest(Uint8Array.from([...head, ...Array.from({ length: byteCount }, () => 0)])).kind;
    };
    const kinds = [0, 1, quantityMax, quantityMax + 1].map((quantity) =>
      asks(quantity, byteCountOf(quantity)),
    );
    expect(kinds).toEqual(['exception', 'writeMany', 'writeMany', 'exception']);
    const byteCount = byteCountOf(quantityMax);
    expect(asks(quantityMax, byteCount - 1)).toBe('exception');
    expect(asks(quantityMax, byteCount + 1)).toBe('exception');
  });

  test('may set a coil with FF00 or 0000 alone (MB-APP 6.5)', () => {
    const kind = (field: string) => decodeRequest(bytesOf(`05 00 AC ${field}`)).kind;
    expect(['00 00', 'FF 00'].map(kind)).toEqual(['writeOne', 'writeOne']);
    expect(['FF 01', '00 01', '01 00', 'FE 00'].map(kind)).toEqual(Array(4).fill('exception'));
    expect(decodeRequest(bytesOf('05 00 AC 00 00'))).toMatchObject({ value: 0 });
  });

  test('of a function we do not speak gets exception 01, whatever follows', () => {
    for (const code of [0x00, 0x07, 0x16, 0x2b, 0x81, 0xff]) {
      expect(decodeRequest(Uint8Array.of(code, 1, 2))).toEqual({
        kind: 'exception',
        functionCode: code,
        code: 1,
      });
    }
  });

  test('is never encoded outside the limits', () => {
    const read: Request = { kind: 'read', functionCode: 0x03, address: 0, quantity: 1 };
    const bad: readonly Request[] = [
      { ...read, quantity: 0 },
      { ...read, quantity: 126 },
      { ...read, address: -1 },
      { ...read, address: 65536 },
      { ...read, quantity: 65537 },
      { kind: 'writeOne', functionCode: 0x05, address: 0, value: 2 },
      { kind: 'writeOne', functionCode: 0x06, address: 0, value: 65536 },
      { kind: 'writeMany', functionCode: 0x0f, address: 0, values: Uint16Array.of(0, 2) },
      { kind: 'writeMany', functionCode: 0x0f, address: 0, values: new Uint16Array(1969) },
      { kind: 'writeMany', functionCode: 0x10, address: 0, values: new Uint16Array(0) },
      { kind: 'writeMany', functionCode: 0x10, address: 0, values: new Uint16Array(124) },
    ];
    for (const request of bad)
      expect(() => encodeRequest(request), JSON.stringify(request)).toThrow(RangeError);
  });

  test('survives encoding and decoding, whatever it asks', () => {
    fc.assert(
      fc.property(anyRequest(), (request) => {
        expect(decodeRequest(encodeRequest(request))).toEqual(request);
      }),
    );
  });

  test('is decoded into a request or an exception from any bytes at all', () => {
    fc.assert(
      fc.property(fc.uint8Array({ minLength: 1, maxLength: 253 }), (pdu) => {
        const decoded = decodeRequest(pdu);
        if (decoded.kind === 'exception') expect([0x01, 0x03]).toContain(decoded.code);
        else expect(decoded.functionCode).toBe(pdu[0]);
      }),
    );
  });
});

describe('a response', () => {
  const request: Request = { kind: 'read', functionCode: 0x03, address: 4, quantity: 2 };
  const write: Request = {
    kind: 'writeMany',
    functionCode: 0x10,
    address: 1,
    values: Uint16Array.of(10, 258),
  };

  test('of another function is no answer', () => {
    for (const hex of ['04 04 00 01 00 02', '84 02', '00']) {
      expect(decodeResponse(bytesOf(hex), request)).toEqual({ kind: 'mismatched', field: 'functionCode' });
    }
    expect(decodeResponse(new Uint8Array(0), request)).toEqual({ kind: 'mismatched', field: 'functionCode' });
  });

  test('with more or fewer registers than asked, or a byte count that lies, is no answer', () => {
    for (const hex of ['03 02 00 01', '03 06 00 01 00 02 00 03', '03 02 00 01 00 02']) {
      expect(decodeResponse(bytesOf(hex), request)).toEqual({ kind: 'mismatched', field: 'length' });
    }
  });

  test('to a write must echo its address and quantity or value', () => {
    expect(decodeResponse(bytesOf('10 00 01 00 03'), write)).toEqual({ kind: 'mismatched', field: 'echo' });
    expect(decodeResponse(bytesOf('10 00 02 00 02'), write)).toEqual({ kind: 'mismatched', field: 'echo' });
  });

  test('with an exception code that the standard does not list is no answer', () => {
    for (const hex of ['83 07', '83 00', '83 FF']) {
      expect(decodeResponse(bytesOf(hex), request)).toEqual({ kind: 'mismatched', field: 'exceptionCode' });
    }
  });

  test('keeps bits that pad its last byte to itself', () => {
    const bits: Request = { kind: 'read', functionCode: 0x01, address: 0, quantity: 3 };
    expect(decodeResponse(bytesOf('01 01 FD'), bits)).toMatchObject({ values: Uint16Array.of(1, 0, 1) });
  });

  test('is never encoded with more values than one PDU holds, or none', () => {
    const response = (quantity: number) =>
      encodeResponse({ kind: 'read', functionCode: 0x04, values: new Uint16Array(quantity) });
    expect(response(125)).toHaveLength(252);
    expect(() => response(126)).toThrow(RangeError);
    expect(() => response(0)).toThrow(RangeError);
  });

  test('survives encoding and decoding, for any request', () => {
    fc.assert(
      fc.property(anyRequest(), fc.infiniteStream(fc.nat(0xffff)), (asked, stream) => {
        const given = responseTo(asked, stream);
        expect(decodeResponse(encodeResponse(given), asked)).toEqual(given);
      }),
    );
  });
});

function responseTo(request: Request, stream: Iterator<number, unknown>) {
  if (request.kind === 'writeOne') return request;
  const { kind, functionCode } = request;
  if (kind === 'writeMany')
    return { kind, functionCode, address: request.address, quantity: request.values.length };
  const mask = FUNCTIONS[functionCode].valueBits === 16 ? 0xffff : 1;
  const values = Uint16Array.from({ length: request.quantity }, () => Number(stream.next().value) & mask);
  return { kind, functionCode, values };
}
