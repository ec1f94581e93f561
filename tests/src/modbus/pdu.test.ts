import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  decodeRequest,
  decodeResponse,
  encodeRequest,
  encodeResponse,
  FUNCTIONS,
  type Request,
  type Response,
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

  test('of function 0x17 may read 1 to 125 values and write 1 to 121', () => {
    const asks = (quantity: number, written: number, byteCount = 2 * written) => {
      const head = [0x17, 0, 0, 0, quantity, 0, 0, 0, written, byteCount];
      return decodeRequest(Uint8Array.from([...head, ...Array.from({ length: byteCount }, () => 0)])).kind;
    };
    for (const [quantity, written] of [
      [1, 1],
      [125, 121],
    ] as const) {
      expect(asks(quantity, written)).toBe('readWrite');
    }
    for (const [quantity, written] of [
      [0, 1],
      [126, 1],
      [1, 0],
      [1, 122],
    ] as const) {
      expect(asks(quantity, written), `${quantity}, ${written}`).toBe('exception');
    }
    expect([asks(1, 3, 5), asks(1, 3, 8)]).toEqual(['exception', 'exception']);
  });

  test('may set a coil with FF00 or 0000 alone (MB-APP 6.5)', () => {
    const kind = (field: string) => decodeRequest(bytesOf(`05 00 AC ${field}`)).kind;
    expect(['00 00', 'FF 00'].map(kind)).toEqual(['writeOne', 'writeOne']);
    expect(['FF 01', '00 01', '01 00', 'FE 00'].map(kind)).toEqual(Array(4).fill('exception'));
    expect(decodeRequest(bytesOf('05 00 AC 00 00'))).toMatchObject({ value: 0 });
  });

  test('of a function we do not speak gets exception 01, whatever follows', () => {
    for (const code of [0x00, 0x07, 0x18, 0x2a, 0x81, 0xff]) {
      expect(decodeRequest(Uint8Array.of(code, 1, 2))).toEqual({
        kind: 'exception',
        functionCode: code,
        code: 1,
      });
    }
  });

  test('is never encoded outside the limits', () => {
    const read = { kind: 'read', functionCode: 0x03, address: 0, quantity: 1 } as const;
    const mask = { kind: 'maskWrite', functionCode: 0x16, address: 0, andMask: 0, orMask: 0 } as const;
    const values = new Uint16Array(1);
    const both = { ...read, kind: 'readWrite', functionCode: 0x17, writeAddress: 0, values } as const;
    const identify = { kind: 'identify', functionCode: 0x2b, readCode: 1, objectId: 0 } as const;
    for (const good of [read, mask, both, identify]) expect(() => encodeRequest(good)).not.toThrow();
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
      { ...mask, address: 65536 },
      { ...mask, andMask: 65536 },
      { ...mask, orMask: -1 },
      { ...both, quantity: 0 },
      { ...both, quantity: 126 },
      { ...both, address: 65536 },
      { ...both, writeAddress: -1 },
      { ...both, values: new Uint16Array(0) },
      { ...both, values: new Uint16Array(122) },
      { ...identify, objectId: 256 },
      { ...identify, objectId: -1 },
      { ...identify, readCode: 0 as 1 },
      { ...identify, readCode: 5 as 1 },
      { ...identify, readCode: 257 as 1 },
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

  test('to a mask write must echo its masks', () => {
    const masked: Request = {
      kind: 'maskWrite',
      functionCode: 0x16,
      address: 4,
      andMask: 0xf2,
      orMask: 0x25,
    };
    for (const hex of ['16 00 04 00 F2 00 24', '16 00 04 00 F3 00 25', '16 00 05 00 F2 00 25']) {
      expect(decodeResponse(bytesOf(hex), masked)).toEqual({ kind: 'mismatched', field: 'echo' });
    }
  });

  test('to a read/write has as many registers as were asked for, however many were written', () => {
    const both: Request = {
      kind: 'readWrite',
      functionCode: 0x17,
      address: 0,
      quantity: 2,
      writeAddress: 0,
      values: new Uint16Array(3),
    };
    expect(decodeResponse(bytesOf('17 04 00 01 00 02'), both)).toMatchObject({ kind: 'readWrite' });
    for (const hex of ['17 06 00 01 00 02 00 03', '17 06 00 01 00 02', '17 02 00 01']) {
      expect(decodeResponse(bytesOf(hex), both)).toEqual({ kind: 'mismatched', field: 'length' });
    }
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

function responseTo(request: Request, stream: Iterator<number, unknown>): Response {
  const drawn = () => Number(stream.next().value);
  switch (request.kind) {
    case 'writeOne':
    case 'maskWrite':
      return request;
    case 'writeMany': {
      const { kind, functionCode, address, values } = request;
      return { kind, functionCode, address, quantity: values.length };
    }
    case 'read': {
      const mask = FUNCTIONS[request.functionCode].valueBits === 16 ? 0xffff : 1;
      const values = Uint16Array.from({ length: request.quantity }, () => drawn() & mask);
      return { kind: 'read', functionCode: request.functionCode, values };
    }
    case 'readWrite': {
      const values = Uint16Array.from({ length: request.quantity }, drawn);
      return { kind: 'readWrite', functionCode: request.functionCode, values };
    }
    case 'identify': {
      const { kind, functionCode, readCode } = request;
      const one = readCode === 4;
      const object = (id: number) => ({ id, value: Uint8Array.from({ length: drawn() % 60 }, drawn) });
      const objects = Array.from({ length: one ? 1 : 1 + (drawn() % 4) }, (_, index) =>
        object(one ? request.objectId : index),
      );
      const nextObjectId = one || drawn() % 2 === 0 ? null : drawn() % 256;
      return { kind, functionCode, readCode, conformity: 0x81 + (drawn() % 3), nextObjectId, objects };
    }
  }
}
