import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { encodeFrame, type Incoming, mbapParser } from '../../../src/modbus/index.ts';
import { unitId } from '../../../src/units/index.ts';
import { bytesOf, hexOf, VECTORS } from './vectors.ts';

// MB-TCP 4.4.1.2 (CHK-6.2): read register 5 of a directly addressed server; the answers have the same layout.
const CHK_6_2 = {
  request: '15 01 00 00 00 06 FF 03 00 04 00 01',
  answer: '15 01 00 00 00 05 FF 03 02 00 05',
  exception: '15 01 00 00 00 03 FF 83 02',
};

/** What a parser yields for these chunks, views copied. */
function parsed(chunks: Iterable<Uint8Array>): readonly Incoming[] {
  const parser = mbapParser();
  const out: Incoming[] = [];
  for (const chunk of chunks) {
    parser.feed(chunk);
    for (let next = parser.next(); next !== undefined; next = parser.next()) {
      out.push(next.kind === 'frame' ? { ...next, pdu: Uint8Array.from(next.pdu) } : next);
    }
  }
  return out;
}

const singles = (bytes: Uint8Array) => Array.from(bytes, (byte) => Uint8Array.of(byte));

describe.each(Object.entries(CHK_6_2))('CHK-6.2 %s', (_, hex) => {
  const frame = { kind: 'frame', transactionId: 0x1501, unitId: 0xff, pdu: bytesOf(hex).subarray(7) };

  test('is encoded and parsed as printed', () => {
    expect(hexOf(encodeFrame(0x1501, unitId(0xff), bytesOf(hex).subarray(7)))).toBe(hex);
    expect(parsed([bytesOf(hex)])).toEqual([frame]);
  });

  test('is the same one byte at a time', () => {
    expect(parsed(singles(bytesOf(hex)))).toEqual([frame]);
  });

  test('is the same with the beginning of the next frame behind it', () => {
    const parser = mbapParser();
    parser.feed(bytesOf(`${hex} 15 02 00`));
    expect(parser.next()).toEqual(frame);
    expect(parser.next()).toBeUndefined();
    expect(parser.pendingBytes()).toBe(3);
    parser.feed(bytesOf(hex).subarray(3));
    expect(parser.next()).toEqual({ ...frame, transactionId: 0x1502 });
    expect(parser.pendingBytes()).toBe(0);
  });
});

describe('a stream of frames', () => {
  test('carries every vector of MB-APP section 6 one byte at a time', () => {
    const pdus = VECTORS.flatMap(({ requestHex, responseHex }) => [
      bytesOf(requestHex),
      bytesOf(responseHex),
    ]);
    const stream = pdus.flatMap((pdu, id) => Array.from(encodeFrame(id, unitId(11), pdu)));
    const frames = parsed(singles(Uint8Array.from(stream)));
    expect(frames).toEqual(pdus.map((pdu, id) => ({ kind: 'frame', transactionId: id, unitId: 11, pdu })));
  });

  test('may be cut anywhere and gives the same frames', () => {
    const frame = fc.tuple(fc.nat(0xffff), fc.nat(255), fc.uint8Array({ minLength: 1, maxLength: 253 }));
    const property = fc.property(
      fc.array(frame, { minLength: 1, maxLength: 8 }),
      fc.array(fc.nat(400), { maxLength: 30 }),
      (frames, cuts) => {
        const stream = Uint8Array.from(
          frames.flatMap(([id, unit, pdu]) => Array.from(encodeFrame(id, unitId(unit), pdu))),
        );
        const expected = frames.map(([id, unit, pdu]) => ({
          kind: 'frame',
          transactionId: id,
          unitId: unit,
          pdu,
        }));
        expect(parsed(pieces(stream, cuts))).toEqual(expected);
      },
    );
    fc.assert(property);
  });

  test('takes lengths from 2 to 254, the longest PDU included', () => {
    const [shortest, longest] = [new Uint8Array(1), new Uint8Array(253).fill(7)];
    const bytes = (pdu: Uint8Array) => encodeFrame(1, unitId(1), pdu);
    expect(parsed([bytes(shortest), bytes(longest)])).toMatchObject([{ pdu: shortest }, { pdu: longest }]);
    expect(() => bytes(new Uint8Array(0))).toThrow(RangeError);
    expect(() => bytes(new Uint8Array(254))).toThrow(RangeError);
  });

  test('goes on behind a frame of another protocol', () => {
    const foreign = bytesOf('15 01 00 07 00 04 FF 03 00 04');
    expect(parsed(singles(Uint8Array.from([...foreign, ...bytesOf(CHK_6_2.request)])))).toMatchObject([
      { kind: 'foreign', protocolId: 7 },
      { kind: 'frame', transactionId: 0x1501 },
    ]);
  });

  test.each([0, 1, 255, 0xffff])(
    'is lost at a length of %i, as soon as it is read, and for good',
    (length) => {
      const parser = mbapParser();
      parser.feed(Uint8Array.of(0, 1, 0, 0, length >> 8, length & 0xff));
      expect(parser.next()).toEqual({ kind: 'lost', length });
      expect(parser.next()).toBeUndefined();
      parser.feed(bytesOf(CHK_6_2.request));
      expect(parser.next()).toBeUndefined();
      expect(parser.pendingBytes()).toBe(0);
    },
  );

  test('never keeps a whole frame back, so what waits is bounded', () => {
    const parser = mbapParser();
    parser.feed(encodeFrame(1, unitId(1), new Uint8Array(253)).subarray(0, 259));
    expect(parser.next()).toBeUndefined();
    expect(parser.pendingBytes()).toBe(259);
  });

  test('must be emptied before it is fed again', () => {
    const parser = mbapParser();
    parser.feed(new Uint8Array(260));
    expect(() => {
      parser.feed(Uint8Array.of(1));
    }).toThrow(RangeError);
  });
});

function pieces(stream: Uint8Array, cuts: readonly number[]): readonly Uint8Array[] {
  const marks = [0, ...cuts.map((cut) => cut % stream.length).sort((a, b) => a - b), stream.length];
  return marks.slice(1).map((end, index) => stream.subarray(marks[index], end));
}
