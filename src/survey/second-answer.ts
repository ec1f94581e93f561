/** Whether one request got two sound answers: then two devices heard it as theirs. */

import type { AskedOnWire } from '../modbus/index.ts';
import { CRC_BYTES, HEADER_BYTES, mbapParser, rtuAnswer } from '../modbus/index.ts';

export function hasSecondAnswer(heard: Uint8Array, asked: AskedOnWire): boolean {
  return asked.framing.kind === 'mbap'
    ? mbapAnswers(heard, asked.framing.transactionId) > 1
    : rtuAnswers(heard, asked) > 1;
}

function mbapAnswers(heard: Uint8Array, transactionId: number): number {
  let answers = 0;
  for (let at = 0; at + HEADER_BYTES <= heard.length; ) {
    const parser = mbapParser();
    parser.feed(heard.subarray(at));
    const incoming = parser.next();
    if (incoming?.kind !== 'frame') return answers;
    if (incoming.transactionId === transactionId) answers += 1;
    at += HEADER_BYTES + incoming.pdu.length;
  }
  return answers;
}

/** Noise may stand before each, so that where one ends is found by trying. */
function rtuAnswers(heard: Uint8Array, asked: AskedOnWire): number {
  let answers = 0;
  for (let from = 0, end = 1 + CRC_BYTES; end <= heard.length; end += 1) {
    if (rtuAnswer(heard.subarray(from, end), asked) === null) continue;
    answers += 1;
    from = end;
  }
  return answers;
}
