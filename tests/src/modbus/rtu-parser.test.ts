/**
 * Requests out of a serial line (MODBUS over Serial Line V1.02, 2.5.1.1): whole frames at once or in pieces;
 * a broken one is thrown away with all that follows it up to the next silence.
 */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  answer,
  decodeRequest,
  encodeRequest,
  encodeRtu,
  RTU_BYTES_MAX,
  rtuParser,
} from '../../../src/modbus/index.ts';
import type { RtuRequest } from '../../../src/modbus/rtu-parser.ts';
import { anyRequest, nearlySoundPdu } from './arbitraries.ts';
import { readPlainly, type TimedByte } from './plain-rtu.ts';
import { bytesOf, VECTORS } from './vectors.ts';

/** Round numbers; what parts two frames is over twice the gap that one may have. */
const PATIENCE = { gapUs: 750, silenceUs: 1750 };
const { gapUs, silenceUs } = PATIENCE;

const READ = '03 00 6B 00 03';
const WRITE = '06 00 01 00 03';
const UNKNOWN = '07';
const rtu = (pdu: string, unit = 17) => encodeRtu(unit, bytesOf(pdu));
const joined = (...parts: readonly Uint8Array[]) => Uint8Array.from(parts.flatMap((part) => [...part]));
const broken = (frame: Uint8Array) => frame.with(-1, (frame.at(-1) ?? 0) ^ 1);
const request = (pdu: string | Uint8Array, unit = 17) => ({
  unitId: unit,
  pdu: typeof pdu === 'string' ? bytesOf(pdu) : pdu,
});

/** What comes at once, and what the silence after it adds. */
function heard(...chunks: readonly Uint8Array[]) {
  const parser = rtuParser(PATIENCE);
  const atOnce = chunks.flatMap((chunk, at) => parser.feed(chunk, at * gapUs));
  const atSilence = parser.silence();
  return { atOnce, atSilence, thrownAway: parser.thrownAway() };
}

const singles = (bytes: Uint8Array) => Array.from(bytes, (byte) => Uint8Array.of(byte));

describe('a frame whose function tells its length', () => {
  const all = VECTORS.filter(({ responseHex }) => responseHex !== '81 02')
    .map(({ clause, requestHex }) => [clause, requestHex] as const)
    .concat([['6.21 identification', '2B 0E 01 00']]);

  test.each(all)('%s: is taken with its last byte, however it is cut', (_, hex) => {
    const frame = rtu(hex);
    const taken = { atOnce: [request(hex)], atSilence: [], thrownAway: 0 };
    expect(heard(frame)).toEqual(taken);
    expect(heard(...singles(frame))).toEqual(taken);
    for (let at = 1; at < frame.length; at += 1) {
      expect(heard(frame.subarray(0, at)), `cut after ${at}`).toMatchObject({ atOnce: [], thrownAway: 1 });
      expect(heard(frame.subarray(0, at), frame.subarray(at)), `in two at ${at}`).toEqual(taken);
    }
  });

  test('is taken behind another without a silence between, as a socket may join them', () => {
    const stream = joined(rtu(READ), rtu(WRITE, 18), rtu('2B 0E 01 00', 19));
    const taken = [request(READ), request(WRITE, 18), request('2B 0E 01 00', 19)];
    for (let at = 0; at <= stream.length; at += 1) {
      expect(heard(stream.subarray(0, at), stream.subarray(at)).atOnce).toEqual(taken);
    }
  });

  test('is taken for a broadcast too, and for addresses that nobody may have', () => {
    for (const unit of [0, 1, 247, 248, 255]) {
      expect(heard(rtu(WRITE, unit)).atOnce).toEqual([request(WRITE, unit)]);
    }
  });

  test('is handed over as bytes of its own', () => {
    const parser = rtuParser(PATIENCE);
    const chunk = joined(rtu(READ));
    const [first] = parser.feed(chunk, 0);
    chunk.fill(0);
    parser.feed(rtu(WRITE), 5000);
    expect(first).toEqual(request(READ));
  });
});

describe('a frame that does not tell its length', () => {
  test('is taken at the silence after it, so that the device can refuse its function', () => {
    const known = heard(rtu(UNKNOWN));
    expect(known).toEqual({ atOnce: [], atSilence: [request(UNKNOWN)], thrownAway: 0 });
    expect(answer(known.atSilence[0]?.pdu ?? new Uint8Array(), {})).toEqual(bytesOf('87 01'));
    expect(heard(...singles(rtu('41 01 02 03'))).atSilence).toEqual([request('41 01 02 03')]);
  });

  test('is taken at the silence that the next bytes show, where nobody told of it before', () => {
    const parser = rtuParser(PATIENCE);
    expect(parser.feed(rtu(UNKNOWN), 0)).toEqual([]);
    expect(parser.feed(rtu(READ), silenceUs)).toEqual([request(UNKNOWN), request(READ)]);
  });

  test.each([
    ['a read that is too long', '03 00 6B 00 03 00'],
    ['a read that is cut', '03 00 6B 00'],
    ['a byte count that is too small', '10 00 01 00 02 03 00 0A 01 02'],
    ['a byte count that is too large', '10 00 01 00 02 05 00 0A 01 02'],
    ['a byte count that no frame holds', '10 00 01 00 02 FF 00 0A 01 02'],
    ['a write without its byte count', '0F 00 13 00 0A'],
    ['a byte count of the second address that is wrong', '17 00 03 00 06 00 0E 00 03 07 00 FF 00 FF 00 FF'],
    ['an interface with more bytes than identification', '2B 0D 01 00 02 00'],
  ])('%s: is taken at the silence where its checksum is right, and refused by the device', (_, hex) => {
    const { atOnce, atSilence, thrownAway } = heard(rtu(hex));
    expect([atOnce, thrownAway]).toEqual([[], 0]);
    expect(atSilence).toEqual([request(hex)]);
    const refusal = { kind: 'exception', code: hex.startsWith('2B') ? 1 : 3 };
    expect(decodeRequest(atSilence[0]?.pdu ?? new Uint8Array())).toMatchObject(refusal);
  });
});

describe('what is thrown away', () => {
  test('a frame with a wrong checksum, of a function that is known or not', () => {
    for (const pdu of [READ, WRITE, UNKNOWN]) {
      expect(heard(broken(rtu(pdu)))).toEqual({ atOnce: [], atSilence: [], thrownAway: 1 });
    }
  });

  test('bytes too few for a frame, a checksum over nothing included', () => {
    for (const hex of ['11', '11 03', 'FF FF', '11 FF FF']) {
      expect(heard(bytesOf(hex))).toEqual({ atOnce: [], atSilence: [], thrownAway: 1 });
    }
  });

  test('a frame with a gap of more than t1.5 inside, though every byte of it is right', () => {
    const frame = rtu(WRITE);
    for (let at = 1; at < frame.length; at += 1) {
      for (const [us, taken] of [
        [gapUs, [request(WRITE)]],
        [gapUs + 1, []],
        [silenceUs - 1, []],
      ] as const) {
        const parser = rtuParser(PATIENCE);
        parser.feed(frame.subarray(0, at), 0);
        expect(parser.feed(frame.subarray(at), us), `${us} us at ${at}`).toEqual(taken);
        expect(parser.silence()).toEqual([]);
        expect(parser.thrownAway()).toBe(1 - taken.length);
      }
    }
  });

  test('both halves of a frame that a silence parts', () => {
    const parser = rtuParser(PATIENCE);
    const frame = rtu(WRITE);
    parser.feed(frame.subarray(0, 4), 0);
    expect(parser.feed(frame.subarray(4), silenceUs)).toEqual([]);
    expect(parser.silence()).toEqual([]);
    expect(parser.thrownAway()).toBe(2);
  });

  test.each([
    ['a wrong checksum', broken(rtu(READ))],
    ['noise', bytesOf('00 FF 00')],
    ['half a frame', rtu(READ).subarray(0, 5)],
    ['a byte count that is too large', bytesOf('11 10 00 01 00 01 02 00')],
    ['as many bytes as a frame may have', new Uint8Array(RTU_BYTES_MAX).fill(0x41)],
    ['more bytes than any frame has', new Uint8Array(RTU_BYTES_MAX + 1).fill(0x41)],
  ])('everything behind %s up to the next silence, a valid write included', (_, junk) => {
    const parser = rtuParser(PATIENCE);
    expect(parser.feed(joined(junk, rtu(WRITE)), 0)).toEqual([]);
    expect(parser.feed(rtu(WRITE), gapUs)).toEqual([]);
    // Longer than t1.5, shorter than t3.5: still the same burst.
    expect(parser.feed(rtu(WRITE), 3 * gapUs)).toEqual([]);
    expect(parser.waits()).toBe(true);
    expect(parser.silence()).toEqual([]);
    expect(parser.waits()).toBe(false);
    expect(parser.thrownAway()).toBe(1);
    expect(parser.feed(rtu(WRITE), 3 * gapUs + silenceUs)).toEqual([request(WRITE)]);
  });

  test('a frame of 257 bytes, while one of 256 is taken', () => {
    const [longest, longer] = [252, 253].map((length) => joined(bytesOf('41'), new Uint8Array(length)));
    const whole = encodeRtu(1, longest ?? bytesOf('41'));
    expect(heard(whole).atSilence).toMatchObject([{ pdu: longest }]);
    expect(heard(...singles(whole)).atSilence).toMatchObject([{ pdu: longest }]);
    const tooLong = encodeRtu(1, longer ?? bytesOf('41'));
    expect(tooLong).toHaveLength(257);
    expect(heard(tooLong)).toEqual({ atOnce: [], atSilence: [], thrownAway: 1 });
    expect(heard(...singles(tooLong))).toEqual({ atOnce: [], atSilence: [], thrownAway: 1 });
  });
});

test('a silence after nothing, or told twice, is none', () => {
  const parser = rtuParser(PATIENCE);
  expect([parser.silence(), parser.waits(), parser.thrownAway()]).toEqual([[], false, 0]);
  parser.feed(bytesOf('11'), 0);
  parser.silence();
  parser.silence();
  expect(parser.thrownAway()).toBe(1);
});

describe('whatever comes', () => {
  const frame = fc.tuple(fc.nat(255), anyRequest()).map(([unit, asked]) => {
    const pdu = encodeRequest(asked);
    return { bytes: encodeRtu(unit, pdu), request: request(pdu, unit) };
  });

  test('after a silence a valid request is taken, and nothing else', () => {
    const junk = fc.array(fc.tuple(fc.uint8Array({ maxLength: 300 }), fc.nat(silenceUs - 1)), {
      maxLength: 5,
    });
    const property = fc.property(junk, frame, (chunks, valid) => {
      const parser = rtuParser(PATIENCE);
      let atUs = 0;
      for (const [bytes, pauseUs] of chunks) {
        atUs += pauseUs;
        expect(parser.feed(bytes, atUs)).toEqual([]);
      }
      const taken = parser.feed(valid.bytes, atUs + silenceUs);
      expect(taken).toEqual([valid.request]);
      expect(parser.waits()).toBe(false);
    });
    fc.assert(property, { numRuns: 300 });
  });

  test('frames without gaps are the same in whatever pieces they come', () => {
    const frames = fc.array(frame, { minLength: 1, maxLength: 6 });
    const property = fc.property(frames, fc.array(fc.nat(2000), { maxLength: 30 }), (sent, cuts) => {
      const stream = joined(...sent.map(({ bytes }) => bytes));
      const marks = [0, ...cuts.map((cut) => cut % stream.length).sort((a, b) => a - b), stream.length];
      const pieces = marks.slice(1).map((end, at) => stream.subarray(marks[at], end));
      const { atOnce, atSilence, thrownAway } = heard(...pieces);
      expect(atOnce).toEqual(sent.map((one) => one.request));
      expect([atSilence, thrownAway]).toEqual([[], 0]);
    });
    fc.assert(property);
  });

  test('a slow and plain reader finds the same requests, and throws the same away', () => {
    const unit = fc.nat(255);
    const nearlySound = fc.tuple(unit, nearlySoundPdu()).map(([to, pdu]) => encodeRtu(to, pdu));
    const piece = fc.oneof(
      frame.map(({ bytes }) => bytes),
      nearlySound,
      fc
        .tuple(nearlySound, fc.nat(), fc.nat(255))
        .map(([bytes, at, byte]) => bytes.with(at % bytes.length, byte)),
      fc.tuple(nearlySound, fc.nat()).map(([bytes, length]) => bytes.subarray(0, length % bytes.length)),
      fc.uint8Array({ maxLength: 20 }),
    );
    const pauseUs = fc.constantFrom(0, 100, gapUs, gapUs + 1, silenceUs - 1, silenceUs, 2 * silenceUs);
    const wire = fc.array(fc.tuple(piece, pauseUs, fc.tuple(fc.nat(300), pauseUs)), { maxLength: 8 });
    const tally = { taken: 0, thrown: 0 };
    const property = fc.property(wire, (parts) => {
      const stream: TimedByte[] = [];
      let nowUs = 0;
      for (const [bytes, before, [pauseAt, inside]] of parts) {
        nowUs += before;
        bytes.forEach((byte, at) => {
          if (at === pauseAt) nowUs += inside;
          stream.push({ byte, atUs: nowUs });
        });
      }
      const taken: RtuRequest[] = [];
      const parser = rtuParser(PATIENCE);
      for (const { byte, atUs } of stream) taken.push(...parser.feed(Uint8Array.of(byte), atUs));
      taken.push(...parser.silence());
      const plain = readPlainly(stream, gapUs, silenceUs);
      expect(taken.map(({ unitId, pdu }) => ({ unitId, pdu: [...pdu] }))).toEqual(plain.requests);
      expect(parser.thrownAway()).toBe(plain.thrownAway);
      tally.taken += taken.length;
      tally.thrown += plain.thrownAway;
    });
    fc.assert(property, { numRuns: 1000 });
    expect(Math.min(tally.taken, tally.thrown)).toBeGreaterThan(500);
  });
});
