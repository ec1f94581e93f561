/**
 * The frame of a serial line and its times. Source: MODBUS over Serial Line V1.02. What that text does not
 * print itself is marked "computed": worked out by its rules, apart from this code.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { encodeRtu, isSoundRtu, RTU_BYTES_MAX, serialTimes } from '../../../src/modbus/index.ts';
import { crc16, RTU_BYTES_MIN } from '../../../src/modbus/rtu.ts';
import { plainCrc } from './plain-rtu.ts';
import { bytesOf, hexOf } from './vectors.ts';

/** Unit and PDU, and the checksum as it is sent, low byte first. */
const CHECKSUMS = [
  ['02 07', '41 12', 'MODBUS over Serial Line V1.02, appendix B'],
  ['01 03 00 00 00 01', '84 0A', 'computed'],
  ['01 03 00 6B 00 03', '74 17', 'computed'],
  ['11 03 00 6B 00 03', '76 87', 'computed'],
  ['01 03 06 02 2B 00 00 00 64', '05 7A', 'computed'],
  ['01 01 00 13 00 13', '8C 02', 'computed'],
  ['01 02 00 C4 00 16', 'B8 39', 'computed'],
  ['01 05 00 AC FF 00', '4C 1B', 'computed'],
  ['01 06 00 01 00 03', '98 0B', 'computed'],
  ['01 10 00 01 00 02 04 00 0A 01 02', '92 30', 'computed'],
  ['01 16 00 04 00 F2 00 25', '67 EE', 'computed'],
  ['01 83 02', 'C0 F1', 'computed'],
] as const;

describe('a frame', () => {
  test.each(CHECKSUMS)('%s ends with %s (%s)', (begun, checksum) => {
    const [unit = 0, ...pdu] = bytesOf(begun);
    const frame = encodeRtu(unit, Uint8Array.from(pdu));
    expect(hexOf(frame)).toBe(`${begun} ${checksum}`);
    expect(isSoundRtu(frame)).toBe(true);
  });

  test('has the checksum 4B37 for the digits one to nine (computed; the usual check value of this CRC)', () => {
    expect(crc16(Uint8Array.from(Buffer.from('123456789', 'latin1')))).toBe(0x4b37);
  });

  test('has the checksum that the flow chart of appendix B gives, over any part of any bytes', () => {
    const property = fc.property(fc.uint8Array({ maxLength: 300 }), fc.nat(), fc.nat(), (bytes, one, two) => {
      const [from = 0, to = 0] = [one % (bytes.length + 1), two % (bytes.length + 1)].sort((a, b) => a - b);
      expect(crc16(bytes, from, to)).toBe(plainCrc([...bytes.subarray(from, to)]));
    });
    fc.assert(property);
  });

  test('is found among other bytes by its bounds alone', () => {
    const frame = encodeRtu(1, bytesOf('83 02'));
    const among = Uint8Array.of(0xaa, 0xbb, ...frame, 0xcc);
    expect(isSoundRtu(among, 2, 2 + frame.length)).toBe(true);
    expect(isSoundRtu(among, 1, 2 + frame.length)).toBe(false);
    expect(isSoundRtu(among, 2, 3 + frame.length)).toBe(false);
    expect(isSoundRtu(among, 2, among.length + 1)).toBe(false);
  });

  test('has four bytes at least: a checksum of nothing, or of a unit alone, is no frame', () => {
    expect(RTU_BYTES_MIN).toBe(4);
    expect(isSoundRtu(encodeRtu(1, new Uint8Array(0)))).toBe(false);
    expect(isSoundRtu(bytesOf('FF FF'))).toBe(false);
    expect(isSoundRtu(new Uint8Array(0))).toBe(false);
  });

  test('has 256 bytes at most with the longest PDU (2.5.1), and a broken one may be longer', () => {
    expect(RTU_BYTES_MAX).toBe(256);
    expect(encodeRtu(1, new Uint8Array(253))).toHaveLength(256);
    expect(isSoundRtu(encodeRtu(1, new Uint8Array(300)))).toBe(true);
  });

  test('is not sound with any one or two of its bits changed (appendix B: CRC-16)', () => {
    const frame = encodeRtu(17, bytesOf('03 06 AE 41 56 52 43 40'));
    const bits = frame.length * 8;
    for (let one = 0; one < bits; one += 1) {
      for (let two = one; two < bits; two += 1) {
        const changed = Uint8Array.from(frame);
        for (const bit of new Set([one, two]))
          changed[bit >> 3] = (changed[bit >> 3] ?? 0) ^ (1 << (bit & 7));
        if (isSoundRtu(changed)) expect.fail(`bits ${one} and ${two}`);
      }
    }
    expect(isSoundRtu(frame)).toBe(true);
  });
});

describe('the times of a line', () => {
  // Characters of 11 bits (2.5.1); fixed times above 19 200 bit/s (2.5.1.1). Frame times computed.
  test.each([
    [9600, 1145.83, 1718.75, 4010.42, 9.167, 293.33],
    [19_200, 572.92, 859.38, 2005.21, 4.583, 146.67],
    [38_400, 286.46, 750, 1750, 2.292, 73.33],
    [115_200, 95.49, 750, 1750, 0.764, 24.44],
  ])(
    'at %i bit/s: a character %d us, gap %d us, silence %d us',
    (baud, character, gap, silence, ms8, ms256) => {
      const even = serialTimes({ baud, parity: 'even', stopBits: 1 });
      expect(even.characterUs).toBeCloseTo(character, 2);
      expect(Math.abs(even.gapUs - gap)).toBeLessThan(0.01);
      expect(even.silenceUs).toBeCloseTo(silence, 2);
      expect((8 * even.characterUs) / 1000).toBeCloseTo(ms8, 3);
      expect((256 * even.characterUs) / 1000).toBeCloseTo(ms256, 2);
      expect(serialTimes({ baud, parity: 'odd', stopBits: 1 })).toEqual(even);
      expect(serialTimes({ baud, parity: 'none', stopBits: 2 })).toEqual(even);
    },
  );

  test('follow what the line is really set to: ten bits a character without parity and second stop bit', () => {
    const short = serialTimes({ baud: 9600, parity: 'none', stopBits: 1 });
    expect(short.characterUs).toBeCloseTo(1041.67, 2);
    expect(short.silenceUs).toBeCloseTo(3.5 * 1041.67, 1);
  });
});
