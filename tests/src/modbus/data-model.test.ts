import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  answer,
  type DataModel,
  identificationOf,
  readableTable,
  writableTable,
} from '../../../src/modbus/index.ts';
import { nearlySoundPdu } from './arbitraries.ts';
import { plainAnswer } from './plain-server.ts';
import { bytesOf, hexOf, VECTORS } from './vectors.ts';

const TAKES_ALL = { refuses: () => undefined, written: () => undefined };

/** 512 values in each table, those of the vectors among them. */
function vectorDevice(): DataModel {
  const [coils, inputs] = [new Uint8Array(512), new Uint8Array(512)];
  const [holding, input] = [new Uint16Array(512), new Uint16Array(512)];
  for (const { request, response } of VECTORS) {
    if (request.kind === 'readWrite' && response.kind === 'readWrite') {
      holding.set(response.values, request.address);
    }
    if (request.kind !== 'read' || response.kind !== 'read') continue;
    ({ 1: coils, 2: inputs, 3: holding, 4: input })[request.functionCode].set(
      response.values,
      request.address,
    );
  }
  return {
    coils: writableTable([{ first: 0, values: coils }], TAKES_ALL),
    discreteInputs: readableTable([{ first: 0, values: inputs }]),
    inputRegisters: readableTable([{ first: 0, values: input }]),
    holdingRegisters: writableTable([{ first: 0, values: holding }], TAKES_ALL),
  };
}

describe('a device', () => {
  test.each(VECTORS)('answers MB-APP $clause as printed', ({ requestHex, responseHex }) => {
    expect(hexOf(answer(bytesOf(requestHex), vectorDevice()))).toBe(responseHex);
  });

  test('keeps to the map: of registers 0 to 99, four from 96 but not five (MB-APP 7)', () => {
    const device: DataModel = { inputRegisters: readableTable([{ first: 0, values: new Uint16Array(100) }]) };
    expect(hexOf(answer(bytesOf('04 00 60 00 04'), device))).toBe('04 08 00 00 00 00 00 00 00 00');
    expect(hexOf(answer(bytesOf('04 00 60 00 05'), device))).toBe('84 02');
  });

  test('keeps to the map in writes as well, and changes nothing outside it', () => {
    const values = new Uint16Array(3);
    const device: DataModel = { holdingRegisters: writableTable([{ first: 0, values }], TAKES_ALL) };
    expect(hexOf(answer(bytesOf('06 00 03 00 01'), device))).toBe('86 02');
    expect(hexOf(answer(bytesOf('10 00 02 00 02 04 00 01 00 02'), device))).toBe('90 02');
    expect(hexOf(answer(bytesOf('10 FF FF 00 02 04 00 01 00 02'), device))).toBe('90 02');
    expect(Array.from(values)).toEqual([0, 0, 0]);
    expect(hexOf(answer(bytesOf('10 00 01 00 02 04 00 01 00 02'), device))).toBe('10 00 01 00 02');
    expect(Array.from(values)).toEqual([0, 1, 2]);
  });

  test('finds a fault of structure before one of the address (MB-APP section 6, state diagrams)', () => {
    const device: DataModel = {
      ...vectorDevice(),
      coils: writableTable([{ first: 0, values: new Uint8Array(8) }], TAKES_ALL),
    };
    for (const hex of [
      '01 FF FF 00 00',
      '05 FF FF 00 01',
      '0F FF FF 00 00 01 00',
      '10 FF FF 00 7C 02 00 00',
      '16 FF FF 00 00 00',
      '17 FF FF 00 7E FF FF 00 01 02 00 00',
      '17 FF FF 00 01 FF FF 00 01 04 00 00',
    ]) {
      const [, code] = answer(bytesOf(hex), device);
      // A request that is wrong in both ways may get either, the standard's annexes disagree; ours says 03.
      expect(code, hex).toBe(3);
    }
  });

  test.each(['01', '02', '03', '04', '05', '06', '0F', '10', '16', '17', '2B', '07', '80'])(
    'that lacks the table or the function refuses %s with exception 01',
    (code) => {
      const reply = answer(bytesOf(`${code} 0E 01 00`), {});
      expect(Array.from(reply)).toEqual([Number.parseInt(code, 16) | 0x80, 1]);
    },
  );

  test('takes a request whole or not at all', () => {
    const values = new Uint16Array(4);
    const written: number[] = [];
    const device: DataModel = {
      holdingRegisters: writableTable([{ first: 0, values }], {
        refuses: (address, value) => (address === 2 && value > 9 ? 0x04 : undefined),
        written: (address) => written.push(address),
      }),
    };
    expect(hexOf(answer(bytesOf('10 00 00 00 03 06 00 01 00 02 00 0A'), device))).toBe('90 04');
    expect(hexOf(answer(bytesOf('06 00 02 00 0A'), device))).toBe('86 04');
    expect(Array.from(values)).toEqual([0, 0, 0, 0]);
    expect(written).toEqual([]);
    expect(hexOf(answer(bytesOf('10 00 00 00 03 06 00 01 00 02 00 09'), device))).toBe('10 00 00 00 03');
    expect(Array.from(values)).toEqual([1, 2, 9, 0]);
    expect(written).toEqual([0, 1, 2]);
  });

  test('keeps the bits of the AND mask and takes the others from the OR mask (MB-APP 6.16)', () => {
    const values = Uint16Array.of(0, 0, 0, 0, 0x12, 0xffff);
    const device: DataModel = { holdingRegisters: writableTable([{ first: 0, values }], TAKES_ALL) };
    expect(hexOf(answer(bytesOf('16 00 04 00 F2 00 25'), device))).toBe('16 00 04 00 F2 00 25');
    expect(values[4], 'the example of the standard').toBe(0x17);
    answer(bytesOf('16 00 05 00 00 A5 5A'), device);
    expect(values[5], 'no AND mask: the OR mask is the value').toBe(0xa55a);
    answer(bytesOf('16 00 05 FF FF 12 34'), device);
    expect(values[5], 'a full AND mask: nothing changes').toBe(0xa55a);
    expect(hexOf(answer(bytesOf('16 00 06 00 00 00 01'), device))).toBe('96 02');
  });

  test('asks itself about the value that comes of the masks, and refuses it whole', () => {
    const values = Uint16Array.of(0x0f);
    const asked: number[] = [];
    const device: DataModel = {
      holdingRegisters: writableTable([{ first: 0, values }], {
        refuses: (_, value) => {
          asked.push(value);
          return value > 0xff ? 0x04 : undefined;
        },
        written: () => undefined,
      }),
    };
    expect(hexOf(answer(bytesOf('16 00 00 00 03 01 00'), device))).toBe('96 04');
    expect([...asked, ...values]).toEqual([0x103, 0x0f]);
  });

  test('reads in the same request what it has just written (MB-APP 6.17)', () => {
    const values = new Uint16Array(4);
    const device: DataModel = { holdingRegisters: writableTable([{ first: 0, values }], TAKES_ALL) };
    const reply = answer(bytesOf('17 00 01 00 03 00 02 00 02 04 AB CD 00 07'), device);
    expect(hexOf(reply)).toBe('17 06 00 00 AB CD 00 07');
  });

  test('writes nothing where it could not read, and reads nothing where it could not write', () => {
    const values = new Uint16Array(4);
    const device: DataModel = {
      holdingRegisters: writableTable([{ first: 0, values }], {
        refuses: (address) => (address === 3 ? 0x04 : undefined),
        written: () => undefined,
      }),
    };
    expect(hexOf(answer(bytesOf('17 00 02 00 03 00 00 00 01 02 00 07'), device))).toBe('97 02');
    expect(hexOf(answer(bytesOf('17 00 00 00 01 00 04 00 01 02 00 07'), device))).toBe('97 02');
    expect(hexOf(answer(bytesOf('17 00 00 00 01 00 02 00 02 04 00 07 00 07'), device))).toBe('97 04');
    expect(Array.from(values)).toEqual([0, 0, 0, 0]);
  });

  test('answers any request as a slow, plain server does, and holds the same values after it', () => {
    fc.assert(
      fc.property(fc.array(nearlySoundPdu(), { minLength: 1, maxLength: 20 }), (pdus) => {
        const { device, plain, held } = twins();
        for (const pdu of pdus) {
          const sent = Uint8Array.from(pdu);
          expect(Array.from(answer(sent, device))).toEqual(plainAnswer(Array.from(pdu), plain));
          expect(sent, 'the request is left as it was').toEqual(pdu);
        }
        expect(held()).toEqual([plain.coils, plain.holdingRegisters]);
      }),
      { numRuns: 1000 },
    );
  });
});

/** The same device twice: as ranges, and as plain lists. Register 7 refuses all writes. */
function twins() {
  const list = (length: number, mask: number) => Array.from({ length }, (_, i) => (i * 40503) & mask);
  const [coils, inputs] = [list(2100, 1), list(37, 1)];
  const [holding, input] = [list(140, 0xffff), list(19, 0xffff)];
  const coilBits = Uint8Array.from(coils);
  const holdingWords = Uint16Array.from(holding);
  // Too long for one answer from the second object on, and again from the private ones on.
  const texts = {
    vendorName: 'v'.repeat(100),
    productCode: 'p'.repeat(143),
    revision: '1.0',
    modelName: 'm',
  };
  const own = { 128: 's'.repeat(244), 130: '' };
  const device: DataModel = {
    coils: writableTable([{ first: 0, values: coilBits }], TAKES_ALL),
    discreteInputs: readableTable([{ first: 0, values: Uint8Array.from(inputs) }]),
    inputRegisters: readableTable([{ first: 0, values: Uint16Array.from(input) }]),
    holdingRegisters: writableTable([{ first: 0, values: holdingWords }], {
      refuses: (address) => (address === 7 ? 0x04 : undefined),
      written: () => undefined,
    }),
    identification: identificationOf(texts, own),
  };
  const plain = {
    coils,
    discreteInputs: inputs,
    inputRegisters: input,
    holdingRegisters: holding,
    refused: { address: 7 },
    objects: [
      [0x00, texts.vendorName],
      [0x01, texts.productCode],
      [0x02, texts.revision],
      [0x05, texts.modelName],
      [0x80, own[0x80]],
      [0x82, own[0x82]],
    ] as const,
  };
  return { device, plain, held: () => [Array.from(coilBits), Array.from(holdingWords)] };
}
