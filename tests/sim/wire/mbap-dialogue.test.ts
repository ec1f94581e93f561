import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { zeroTally } from '../../../sim/wire/dialogue.ts';
import { mbapDialogue } from '../../../sim/wire/mbap-dialogue.ts';
import type { Later } from '../../../sim/wire/serve.ts';
import {
  type Emission,
  encodeFrame,
  encodeRequest,
  type Framing,
  type WireAnswer,
} from '../../../src/modbus/index.ts';
import { unitId } from '../../../src/units/index.ts';
import { anyRequest } from '../../src/modbus/arbitraries.ts';
import { bytes, frame, framesOf } from './raw-client.ts';
import { smallDevice, UNIT } from './small-device.ts';

const READ_TWO = [0x04, 0, 1, 0, 2] as const;
const TWO = [0x04, 4, 0, 3, 0, 6] as const;

function dialogue() {
  const tally = zeroTally();
  const device = smallDevice();
  return { device, tally, ...mbapDialogue(device.serve, tally, () => undefined) };
}

/** A dialogue none of whose answers is there at once. */
function waiting() {
  const sent: Emission[] = [];
  const later: ((answer: WireAnswer) => void)[] = [];
  const dropped: number[] = [];
  const serve = (): Later => {
    const at = later.push(() => undefined) - 1;
    return {
      to(take) {
        later[at] = take;
      },
      drop() {
        dropped.push(at);
      },
    };
  };
  const talk = mbapDialogue(serve, zeroTally(), (emission) => {
    sent.push(emission);
  });
  return { talk, sent, later, dropped };
}

describe('a conversation in MBAP frames', () => {
  test('copies transaction id and unit id into the answer (MB-TCP 3.1.3)', () => {
    const { reply } = dialogue().take(frame(0x1501, UNIT, ...READ_TWO));
    expect(framesOf(reply ?? Buffer.alloc(0))).toEqual([[0x1501, UNIT, ...TWO]]);
  });

  test('answers all requests of one chunk in one reply, in their order', () => {
    const chunk = bytes(...[7, 8, 9].map((id) => frame(id, UNIT, ...READ_TWO)));
    const taken = dialogue().take(chunk);
    expect(framesOf(taken.reply ?? Buffer.alloc(0))).toEqual([7, 8, 9].map((id) => [id, UNIT, ...TWO]));
    expect(taken).toMatchObject({ completed: true, halfFrame: false, lost: false });
  });

  test('waits for the rest of a frame', () => {
    const talk = dialogue();
    const request = frame(1, UNIT, ...READ_TWO);
    const begun = { reply: undefined, emissions: [], completed: false, halfFrame: true, lost: false };
    expect(talk.take(request.subarray(0, 3))).toEqual(begun);
    expect(talk.take(request.subarray(3, 11))).toEqual(begun);
    const taken = talk.take(bytes(request.subarray(11), request.subarray(0, 1)));
    expect(taken).toMatchObject({ completed: true, halfFrame: true });
    expect(framesOf(taken.reply ?? Buffer.alloc(0))).toEqual([[1, UNIT, ...TWO]]);
  });

  test('hands on what goes out in place of an answer, with the transaction id of its request', () => {
    const tally = zeroTally();
    const sent = (id: number) => ({ parts: [{ afterMs: id, bytes: Uint8Array.of(id) }], hangsUp: false });
    const disturbed = {
      emission: (framing: Framing) => sent(framing.kind === 'mbap' ? framing.transactionId : 0),
    };
    const talk = mbapDialogue(
      (unit) => (unit === UNIT ? disturbed : Uint8Array.of(9)),
      tally,
      () => undefined,
    );
    const taken = talk.take(bytes(...[7, 8].map((id) => frame(id, UNIT, ...READ_TWO)), frame(9, 12, 1)));
    expect(taken.emissions).toEqual([sent(7), sent(8)]);
    expect(framesOf(taken.reply ?? Buffer.alloc(0))).toEqual([[9, 12, 9]]);
    expect(tally).toMatchObject({ requests: 3, answers: 1 });
  });

  test('is silent where nobody owns the unit', () => {
    const talk = dialogue();
    expect(talk.take(frame(1, 12, ...READ_TWO)).reply).toBeUndefined();
    expect(talk.tally).toEqual({ ...zeroTally(), requests: 1 });
  });

  test('carries out a broadcast and does not answer it, not even with an exception (MB-SER 2.1)', () => {
    const talk = dialogue();
    expect(talk.take(frame(1, 0, 0x06, 0, 3, 0, 9)).reply).toBeUndefined();
    expect(talk.take(frame(2, 0, 0x06, 0, 99, 0, 9)).reply).toBeUndefined();
    expect(talk.device.holding[3]).toBe(9);
  });

  test('discards a frame of another protocol in silence, and answers the next', () => {
    const talk = dialogue();
    const foreign = frame(1, UNIT, ...READ_TWO).with(3, 1);
    const { reply, lost } = talk.take(bytes(foreign, frame(2, UNIT, ...READ_TWO)));
    expect(framesOf(reply ?? Buffer.alloc(0))).toEqual([[2, UNIT, ...TWO]]);
    expect(lost).toBe(false);
    expect(talk.tally).toMatchObject({ requests: 1, foreignFrames: 1 });
  });

  test('answers what came before a length that makes no sense, and is lost from there on', () => {
    const talk = dialogue();
    const nonsense = frame(2, UNIT, ...READ_TWO).with(4, 0xff);
    const { reply, lost } = talk.take(bytes(frame(1, UNIT, ...READ_TWO), nonsense));
    expect(framesOf(reply ?? Buffer.alloc(0))).toEqual([[1, UNIT, ...TWO]]);
    expect(lost).toBe(true);
    expect(talk.take(frame(3, UNIT, ...READ_TWO)).reply).toBeUndefined();
    expect(talk.tally).toEqual({ ...zeroTally(), requests: 1, answers: 1, lostSync: 1 });
  });

  test('sends an answer that comes later with the number and unit of its request', () => {
    const { talk, sent, later } = waiting();
    expect(talk.take(frame(7, UNIT, ...READ_TWO))).toMatchObject({ reply: undefined, emissions: [] });
    talk.take(bytes(frame(8, UNIT, ...READ_TWO), frame(9, 0, 0x06, 0, 3, 0, 9)));
    later[1]?.(Uint8Array.of(1));
    later[0]?.({ emission: (framing) => ({ parts: [], hangsUp: 'transactionId' in framing }) });
    later[2]?.(Uint8Array.of(2));
    const [first, second, ...others] = sent;
    expect(framesOf(first?.parts[0]?.bytes ?? Buffer.alloc(0))).toEqual([[8, UNIT, 1]]);
    expect(second).toEqual({ parts: [], hangsUp: true });
    expect(others).toEqual([]);
  });

  test('drops what still waits once the other side has gone, and only that', () => {
    const { talk, later, dropped } = waiting();
    talk.take(bytes(frame(7, UNIT, ...READ_TWO), frame(8, UNIT, ...READ_TWO)));
    later[0]?.(undefined);
    talk.end();
    expect(dropped).toEqual([1]);
  });

  test('gives the same answers however the requests are cut', () => {
    const requests = fc.array(fc.tuple(anyRequest(), fc.constantFrom(UNIT, UNIT, 0, 12)), { maxLength: 12 });
    const property = fc.property(requests, fc.array(fc.integer({ min: 1, max: 60 })), (asked, lengths) => {
      const stream = bytes(
        ...asked.map(([request, unit], id) => encodeFrame(id, unitId(unit), encodeRequest(request))),
      );
      const [whole, cut] = [dialogue(), dialogue()];
      const expected = whole.take(stream).reply ?? Buffer.alloc(0);
      const replies: Uint8Array[] = [];
      let at = 0;
      for (const length of [...lengths, stream.length]) {
        replies.push(cut.take(stream.subarray(at, at + length)).reply ?? Buffer.alloc(0));
        at += length;
      }
      expect(bytes(...replies)).toEqual(expected);
      expect([cut.device.coils, cut.device.holding]).toEqual([whole.device.coils, whole.device.holding]);
      expect(cut.tally).toEqual(whole.tally);
    });
    fc.assert(property, { numRuns: 300 });
  });
});
