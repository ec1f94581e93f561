import { describe, expect, test } from 'vitest';
import { gatewayQueue, WAITING_MAX } from '../../../sim/wire/gateway-queue.ts';
import { isLater, type Later } from '../../../sim/wire/serve.ts';
import type { WireAnswer } from '../../../src/modbus/index.ts';
import type { Pace } from '../../../src/rig/index.ts';
import { ms, unitId } from '../../../src/units/index.ts';
import { woundClock } from './wound-clock.ts';

/** A character takes 11 bits: 1.1 ms; the silence after a frame 3.85 ms. */
const PACE: Pace = { baud: 10_000, parity: 'even', stopBits: 1, timeoutMs: ms(200) };
const ANSWER_MS = 30;
const OVERLOADED = Uint8Array.of(0x84, 0x0a);

/** What was asked of the line, and by when what was answered. */
function line(answerOf: (unit: number, pdu: Uint8Array) => WireAnswer = answering(ANSWER_MS)) {
  const clock = woundClock();
  const carriedOut: [atMs: number, unit: number, ...pdu: number[]][] = [];
  const told: [atMs: number, unit: number, answer: WireAnswer][] = [];
  const serve = gatewayQueue({
    pace: PACE,
    after: clock.after,
    carryOut(unit, pdu) {
      carriedOut.push([clock.now(), unit, ...pdu]);
      return answerOf(unit, pdu);
    },
  });
  const ask = (unit: number, ...pdu: number[]): WireAnswer | Later => {
    const answer = serve(unitId(unit), Uint8Array.from(pdu));
    if (isLater(answer)) answer.to((late) => told.push([clock.now(), unit, late]));
    else told.push([clock.now(), unit, answer]);
    return answer;
  };
  return { ...clock, serve, ask, carriedOut, told };
}

/** An answer that is through after so long. */
function answering(afterMs: number): () => WireAnswer {
  return () => ({ emission: () => ({ parts: [{ afterMs, bytes: Uint8Array.of(1) }], hangsUp: false }) });
}

describe('the queue of a gateway', () => {
  test('has a request carried out at once while the line is free', () => {
    const { ask, carriedOut, runTo } = line();
    expect(isLater(ask(11, 4))).toBe(false);
    runTo(ANSWER_MS);
    expect(isLater(ask(12, 4))).toBe(false);
    expect(carriedOut).toEqual([
      [0, 11, 4],
      [ANSWER_MS, 12, 4],
    ]);
  });

  test('has others wait until the answer before is through, each in its turn', () => {
    const { ask, carriedOut, told, runTo } = line();
    for (const unit of [11, 12, 13]) ask(unit, 4, unit);
    expect(carriedOut).toEqual([[0, 11, 4, 11]]);
    runTo(ANSWER_MS - 1);
    expect(carriedOut).toHaveLength(1);
    runTo(5 * ANSWER_MS);
    const turns = [0, ANSWER_MS, 2 * ANSWER_MS];
    expect(carriedOut).toEqual([11, 12, 13].map((unit, at) => [turns[at], unit, 4, unit]));
    expect(told.map(([atMs, unit]) => [atMs, unit])).toEqual(
      [11, 12, 13].map((unit, at) => [turns[at], unit]),
    );
  });

  test('keeps what was asked, though the bytes it came in are used for others by then', () => {
    const { ask, serve, carriedOut, runTo } = line();
    ask(11, 4);
    const shared = Buffer.from([6, 0, 1]);
    const waiting = serve(unitId(12), shared.subarray(0, 3));
    if (isLater(waiting)) waiting.to(() => undefined);
    shared.fill(9);
    runTo(ANSWER_MS);
    expect(carriedOut.at(-1)).toEqual([ANSWER_MS, 12, 6, 0, 1]);
  });

  test('goes by the last part of an answer', () => {
    const parts = [5, 50].map((afterMs) => ({ afterMs, bytes: Uint8Array.of(1) }));
    const { ask, carriedOut, runTo } = line(() => ({ emission: () => ({ parts, hangsUp: false }) }));
    ask(11, 4);
    ask(12, 4);
    runTo(49);
    expect(carriedOut).toHaveLength(1);
    runTo(50);
    expect(carriedOut).toHaveLength(2);
  });

  test('gives a broadcast the time of its frame and the time to act on it, and nobody waits for an answer', () => {
    const { ask, carriedOut, runTo } = line(() => undefined);
    ask(0, 6, 0, 1, 0, 2);
    ask(12, 4);
    // Eight characters of 1.1 ms, 3.85 ms of silence and 100 ms of turnaround (MB-SER 2.4.1).
    runTo(112.6);
    expect(carriedOut).toHaveLength(1);
    runTo(112.7);
    expect(carriedOut).toHaveLength(2);
  });

  test('says that it is overloaded when too many wait, and takes more once one has been carried out', () => {
    const { ask, carriedOut, runTo } = line();
    for (let count = 0; count < 1 + WAITING_MAX; count += 1) expect(ask(11, 4)).not.toEqual(OVERLOADED);
    expect(ask(12, 4)).toEqual(OVERLOADED);
    expect(carriedOut).toHaveLength(1);
    runTo(ANSWER_MS);
    expect(isLater(ask(12, 4))).toBe(true);
    runTo(100 * ANSWER_MS);
    expect(carriedOut).toHaveLength(2 + WAITING_MAX);
  });

  test('never carries out what was dropped while it waited, and the rest a turn sooner', () => {
    const { ask, carriedOut, runTo } = line();
    ask(11, 4);
    const [dropped, kept] = [ask(12, 4), ask(13, 4)];
    if (isLater(dropped)) dropped.drop();
    runTo(100 * ANSWER_MS);
    expect(isLater(kept)).toBe(true);
    expect(carriedOut).toEqual([
      [0, 11, 4],
      [ANSWER_MS, 13, 4],
    ]);
  });

  test('has no line to wait for where the unit has no path', () => {
    const { ask, carriedOut, told } = line((unit) => (unit === 250 ? OVERLOADED : answering(ANSWER_MS)()));
    ask(11, 4);
    expect(ask(250, 4)).toEqual(OVERLOADED);
    expect(isLater(ask(12, 4))).toBe(true);
    expect(carriedOut).toHaveLength(2);
    expect(told).toHaveLength(2);
  });

  test('goes straight on where nothing was said on the line, however many wait', () => {
    let powered = true;
    const { ask, told, runTo } = line(() => (powered ? answering(ANSWER_MS)() : undefined));
    for (const unit of [11, 12, 13]) ask(unit, 4);
    powered = false;
    runTo(ANSWER_MS);
    expect(told.slice(1)).toEqual([
      [ANSWER_MS, 12, undefined],
      [ANSWER_MS, 13, undefined],
    ]);
    powered = true;
    expect(isLater(ask(14, 4))).toBe(false);
  });
});
