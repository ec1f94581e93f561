import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { zeroTally } from '../../../sim/wire/dialogue.ts';
import { rtuDialogue } from '../../../sim/wire/rtu-dialogue.ts';
import type { Serve } from '../../../sim/wire/serve.ts';
import { type Emission, encodeRequest, encodeRtu, type WireAnswer } from '../../../src/modbus/index.ts';
import { anyRequest } from '../../src/modbus/arbitraries.ts';
import { bytes, rtu } from './raw-client.ts';
import { smallDevice, UNIT } from './small-device.ts';

const READ_TWO = [0x04, 0, 1, 0, 2] as const;
const TWO = [0x04, 4, 0, 3, 0, 6] as const;
const NOTHING = Buffer.alloc(0);

/** Gaps of 2 ms, silences of 5 ms. */
const GAP_US = 2000;
const SILENCE_US = 5000;

function dialogue(serveInstead?: Serve) {
  const tally = zeroTally();
  const device = smallDevice();
  const sent: Emission[] = [];
  let nowUs = 0;
  const talk = rtuDialogue(serveInstead ?? device.serve, tally, (emission) => sent.push(emission), {
    gapUs: GAP_US,
    silenceUs: SILENCE_US,
    silenceMs: SILENCE_US / 1000,
    nowUs: () => nowUs,
  });
  const later = (us: number): void => {
    nowUs += us;
  };
  return { device, tally, sent, later, ...talk };
}

describe('a conversation in RTU frames', () => {
  test('answers in the name of the unit, with a checksum, as soon as the frame is whole', () => {
    const talk = dialogue();
    expect(talk.take(rtu(UNIT, ...READ_TWO))).toEqual({
      reply: rtu(UNIT, ...TWO),
      emissions: [],
      completed: true,
      halfFrame: false,
      lost: false,
    });
    expect(talk.tally).toEqual({ ...zeroTally(), requests: 1, answers: 1 });
  });

  test('answers several requests of one chunk in one reply, in their order', () => {
    const asked = [1, 2, 3].map((count) => rtu(UNIT, 0x04, 0, 1, 0, count));
    const said = [1, 2, 3].map((count) =>
      rtu(UNIT, 0x04, 2 * count, ...[0, 3, 0, 6, 0, 9].slice(0, 2 * count)),
    );
    expect(dialogue().take(bytes(...asked)).reply).toEqual(bytes(...said));
  });

  test('waits for the rest of a frame', () => {
    const talk = dialogue();
    const asked = rtu(UNIT, ...READ_TWO);
    const begun = { reply: undefined, completed: false, halfFrame: true };
    expect(talk.take(asked.subarray(0, 3))).toMatchObject(begun);
    talk.later(GAP_US);
    expect(talk.take(asked.subarray(3, 7))).toMatchObject(begun);
    expect(talk.take(asked.subarray(7)).reply).toEqual(rtu(UNIT, ...TWO));
  });

  test('throws a cut frame away at the silence, and hears the next', () => {
    const talk = dialogue();
    talk.take(rtu(UNIT, ...READ_TWO).subarray(0, 5));
    expect(talk.silence()).toMatchObject({ reply: undefined, completed: true, halfFrame: false });
    expect(talk.take(rtu(UNIT, ...READ_TWO)).reply).toEqual(rtu(UNIT, ...TWO));
    expect(talk.tally).toEqual({ ...zeroTally(), requests: 1, answers: 1, thrownAway: 1 });
  });

  test('goes by the clock where nobody told it of the silence', () => {
    const talk = dialogue();
    talk.take(rtu(UNIT, ...READ_TWO).subarray(0, 5));
    talk.later(SILENCE_US);
    expect(talk.take(rtu(UNIT, ...READ_TWO)).reply).toEqual(rtu(UNIT, ...TWO));
    expect(talk.tally).toMatchObject({ requests: 1, thrownAway: 1 });
  });

  test('refuses a function that it does not know at the silence, which alone says where it ends', () => {
    const talk = dialogue();
    expect(talk.take(rtu(UNIT, 0x42, 1, 2, 3))).toMatchObject({ reply: undefined, halfFrame: true });
    expect(talk.silence().reply).toEqual(rtu(UNIT, 0xc2, 1));
  });

  test('does nothing for a frame with a wrong checksum', () => {
    const talk = dialogue();
    const asked = rtu(UNIT, 0x06, 0, 3, 0, 9);
    talk.take(asked.with(7, (asked[7] ?? 0) ^ 1));
    expect(talk.silence().reply).toBeUndefined();
    expect([talk.device.holding[3], talk.tally.requests]).toEqual([0, 0]);
  });

  test('carries out a broadcast and does not answer it, not even with an exception (MB-SER 2.1)', () => {
    const talk = dialogue();
    expect(talk.take(rtu(0, 0x06, 0, 3, 0, 9)).reply).toBeUndefined();
    expect(talk.take(rtu(0, 0x06, 0, 99, 0, 9)).reply).toBeUndefined();
    expect([talk.device.holding[3], talk.tally.requests]).toEqual([9, 2]);
  });

  test('is silent where nobody owns the unit', () => {
    expect(dialogue().take(rtu(12, ...READ_TWO))).toMatchObject({ reply: undefined, completed: true });
  });

  test('hands on what goes out in place of an answer, told what parts two frames', () => {
    const emission = (framing: object): Emission => {
      expect(framing).toEqual({ kind: 'rtu', silenceMs: SILENCE_US / 1000 });
      return { parts: [], hangsUp: true };
    };
    const talk = dialogue((unit) => (unit === 12 ? Uint8Array.of(9) : { emission }));
    const taken = talk.take(bytes(...[UNIT, 0, 12].map((unit) => rtu(unit, ...READ_TWO))));
    expect(taken.emissions).toEqual([{ parts: [], hangsUp: true }]);
    expect(taken.reply).toEqual(rtu(12, 9));
    expect(talk.tally).toMatchObject({ requests: 3, answers: 1 });
  });

  test('sends an answer that comes later, and drops what waits when the other side has gone', () => {
    const takes: ((answer: WireAnswer) => void)[] = [];
    let dropped = 0;
    const talk = dialogue(() => ({ to: (take) => takes.push(take), drop: () => (dropped += 1) }));
    const asked = [UNIT, UNIT, 0, UNIT].map((unit) => rtu(unit, ...READ_TWO));
    expect(talk.take(bytes(...asked))).toMatchObject({ reply: undefined, emissions: [] });
    takes[0]?.(Uint8Array.of(7));
    takes[1]?.({ emission: () => ({ parts: [], hangsUp: true }) });
    takes[2]?.(Uint8Array.of(8));
    expect(talk.sent).toEqual([
      { parts: [{ afterMs: 0, bytes: rtu(UNIT, 7) }], hangsUp: false },
      { parts: [], hangsUp: true },
    ]);
    talk.end();
    expect(dropped).toBe(1);
  });

  test('gives the same answers however the requests are cut', () => {
    const requests = fc.array(fc.tuple(anyRequest(), fc.constantFrom(UNIT, UNIT, 0, 12)), { maxLength: 12 });
    const property = fc.property(requests, fc.array(fc.integer({ min: 1, max: 60 })), (asked, lengths) => {
      const stream = bytes(...asked.map(([request, unit]) => encodeRtu(unit, encodeRequest(request))));
      const [inOne, cut] = [dialogue(), dialogue()];
      const expected = inOne.take(stream).reply ?? NOTHING;
      const replies: Uint8Array[] = [];
      let at = 0;
      for (const length of [...lengths, stream.length]) {
        replies.push(cut.take(stream.subarray(at, at + length)).reply ?? NOTHING);
        at += length;
      }
      expect(bytes(...replies)).toEqual(Buffer.from(expected));
      expect([cut.device.coils, cut.device.holding]).toEqual([inOne.device.coils, inOne.device.holding]);
      expect(cut.tally).toEqual({ ...inOne.tally, requests: asked.length });
    });
    fc.assert(property, { numRuns: 300 });
  });
});
