/**
 * One Modbus TCP conversation as bytes in, bytes out: frames, unit ids and silence, without a socket.
 *
 * A face owns sockets and limits and knows no frames; a dialogue knows frames and no sockets.
 */
import {
  type Emission,
  HEADER_BYTES,
  type Incoming,
  mbapParser,
  putFrame,
  type WireAnswer,
} from '../../src/modbus/index.ts';
import type { UnitId } from '../../src/units/brands.ts';

/**
 * Answers a request PDU in the name of a unit; undefined where nobody owns that unit: silence, as on a
 * serial line. The pdu is a view of the socket's bytes: copy what must outlast the call.
 */
export type Serve = (unitId: UnitId, pdu: Uint8Array) => WireAnswer;

/** Counts since the face was opened. */
export interface Tally {
  requests: number;
  /** Sound ones. */
  answers: number;
  /** Frames of another protocol, discarded in silence. */
  foreignFrames: number;
  /** Conversations ended because a length field told nothing about where the next frame begins. */
  lostSync: number;
}

interface Taken {
  /** All sound answers to the chunk's complete requests, in their order; undefined where there are none. */
  readonly reply: Buffer | undefined;
  /** What goes out in place of answers that are disturbed. */
  readonly emissions: readonly Emission[];
  /** The chunk completed at least one frame, whatever became of it. */
  readonly completed: boolean;
  /** A frame has begun, and more bytes of it must come. */
  readonly halfFrame: boolean;
  /** Nothing that follows can be understood: send the reply, then hang up. */
  readonly lost: boolean;
}

export interface Dialogue {
  /** What the next bytes of the stream, few or many, lead to. */
  take(chunk: Uint8Array): Taken;
}

/** A broadcast is carried out and never answered (MB-SER 2.1). */
const BROADCAST = 0;

interface Answer {
  readonly transactionId: number;
  readonly unitId: UnitId;
  readonly pdu: Uint8Array;
}

export function mbapDialogue(serve: Serve, tally: Tally): Dialogue {
  const parser = mbapParser();
  return {
    take: (chunk) => {
      const answers: Answer[] = [];
      const emissions: Emission[] = [];
      let last: Incoming | undefined;
      parser.feed(chunk);
      for (let incoming = parser.next(); incoming !== undefined; incoming = parser.next()) {
        const said = heed(incoming, serve, tally);
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

function heed(incoming: Incoming, serve: Serve, tally: Tally): Answer | Emission | undefined {
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
      const pdu = serve(unitId, incoming.pdu);
      if (pdu === undefined || unitId === BROADCAST) return undefined;
      if (!(pdu instanceof Uint8Array)) return pdu.emission(transactionId);
      tally.answers += 1;
      return { transactionId, unitId, pdu };
    }
  }
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
