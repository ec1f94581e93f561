/** A conversation in the frames of Modbus TCP. */
import {
  atOnce,
  BROADCAST,
  type Emission,
  encodeFrame,
  HEADER_BYTES,
  type Incoming,
  mbapParser,
  putFrame,
} from '../../src/modbus/index.ts';
import type { UnitId } from '../../src/units/brands.ts';
import type { Dialogue, SendLater, Tally } from './dialogue.ts';
import { type Awaited, awaited, isLater, type Later, type Serve } from './serve.ts';

interface Answer {
  readonly transactionId: number;
  readonly unitId: UnitId;
  readonly pdu: Uint8Array;
}

interface Conversation {
  readonly serve: Serve;
  readonly tally: Tally;
  readonly sendLater: SendLater;
  readonly waiting: Awaited;
}

export function mbapDialogue(serve: Serve, tally: Tally, sendLater: SendLater): Dialogue {
  const parser = mbapParser();
  const conversation = { serve, tally, sendLater, waiting: awaited() };
  return {
    silence: undefined,
    end: conversation.waiting.dropAll,
    take: (chunk) => {
      const answers: Answer[] = [];
      const emissions: Emission[] = [];
      let last: Incoming | undefined;
      parser.feed(chunk);
      for (let incoming = parser.next(); incoming !== undefined; incoming = parser.next()) {
        const said = heed(incoming, conversation);
        if (said !== undefined && 'parts' in said) emissions.push(said);
        else if (said !== undefined) answers.push(said);
        last = incoming;
      }
      return {
        reply: framed(answers),
        emissions,
        completed: last !== undefined,
        halfFrame: parser.pendingBytes() > 0,
        lost: last?.kind === 'lost',
      };
    },
  };
}

function heed(incoming: Incoming, conversation: Conversation): Answer | Emission | undefined {
  const { serve, tally } = conversation;
  switch (incoming.kind) {
    case 'foreign':
      tally.foreignFrames += 1;
      return undefined;
    case 'lost':
      tally.lostSync += 1;
      return undefined;
    case 'frame': {
      tally.requests += 1;
      const { transactionId, unitId } = incoming;
      const answer = serve(unitId, incoming.pdu);
      if (isLater(answer)) {
        wait(answer, transactionId, unitId, conversation);
        return;
      }
      if (answer === undefined || unitId === BROADCAST) return undefined;
      if (!(answer instanceof Uint8Array)) return answer.emission({ kind: 'mbap', transactionId });
      tally.answers += 1;
      return { transactionId, unitId, pdu: answer };
    }
  }
}

/** The answer that comes later is for the request of now: its number and unit are kept. */
function wait(later: Later, transactionId: number, unitId: UnitId, conversation: Conversation): undefined {
  const { waiting, tally, sendLater } = conversation;
  waiting.add(later, (answer) => {
    if (answer === undefined || unitId === BROADCAST) return;
    if (!(answer instanceof Uint8Array)) {
      sendLater(answer.emission({ kind: 'mbap', transactionId }));
      return;
    }
    tally.answers += 1;
    sendLater(atOnce(encodeFrame(transactionId, unitId, answer)));
  });
}

/** All answers as one run of bytes, so that a chunk of pipelined requests costs one write. */
function framed(answers: readonly Answer[]): Buffer | undefined {
  if (answers.length === 0) return undefined;
  let bytes = 0;
  for (const { pdu } of answers) bytes += HEADER_BYTES + pdu.length;
  const reply = Buffer.allocUnsafe(bytes);
  let at = 0;
  for (const { transactionId, unitId, pdu } of answers) at = putFrame(reply, at, transactionId, unitId, pdu);
  return reply;
}
