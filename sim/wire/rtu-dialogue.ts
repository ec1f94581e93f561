/**
 * A conversation in RTU frames, as on a serial line; through a socket too, with other times.
 *
 * A client on such a line asks one thing at a time. One that asks on without waiting gets its answers in a
 * row, though on a real line they would meet the next request.
 */
import {
  atOnce,
  BROADCAST,
  type Emission,
  encodeRtu,
  type Framing,
  type RtuPatience,
  type RtuRequest,
  rtuParser,
  type WireAnswer,
} from '../../src/modbus/index.ts';
import type { Dialogue, SendLater, Taken, Tally } from './dialogue.ts';
import { awaited, isLater, type Serve } from './serve.ts';

export interface RtuTimes extends RtuPatience {
  /** What parts two frames that we send; for answers with faults. */
  readonly silenceMs: number;
  /** When a chunk came, in microseconds; it never goes back. */
  readonly nowUs: () => number;
}

/** Silence says something here. */
export interface RtuDialogue extends Dialogue {
  readonly silence: () => Taken;
}

export function rtuDialogue(serve: Serve, tally: Tally, sendLater: SendLater, times: RtuTimes): RtuDialogue {
  const parser = rtuParser(times);
  const waiting = awaited();
  const framing: Framing = { kind: 'rtu', silenceMs: times.silenceMs };

  const wrapped = (unitId: number, answer: WireAnswer): Uint8Array | Emission | undefined => {
    if (answer === undefined || unitId === BROADCAST) return undefined;
    if (!(answer instanceof Uint8Array)) return answer.emission(framing);
    tally.answers += 1;
    return encodeRtu(unitId, answer);
  };
  const heed = ({ unitId, pdu }: RtuRequest): Uint8Array | Emission | undefined => {
    tally.requests += 1;
    const answer = serve(unitId, pdu);
    if (!isLater(answer)) return wrapped(unitId, answer);
    waiting.add(answer, (late) => {
      const said = wrapped(unitId, late);
      if (said !== undefined) sendLater(said instanceof Uint8Array ? atOnce(said) : said);
    });
    return undefined;
  };
  const told = (requests: readonly RtuRequest[], thrownAwayBefore: number): Taken => {
    const replies: Uint8Array[] = [];
    const emissions: Emission[] = [];
    for (const request of requests) {
      const said = heed(request);
      if (said instanceof Uint8Array) replies.push(said);
      else if (said !== undefined) emissions.push(said);
    }
    const thrownAway = parser.thrownAway() - thrownAwayBefore;
    tally.thrownAway += thrownAway;
    const completed = requests.length > 0 || thrownAway > 0;
    return { reply: joined(replies), emissions, completed, halfFrame: parser.waits(), lost: false };
  };

  return {
    end: waiting.dropAll,
    take(chunk) {
      const before = parser.thrownAway();
      return told(parser.feed(chunk, times.nowUs()), before);
    },
    silence() {
      const before = parser.thrownAway();
      return told(parser.silence(), before);
    },
  };
}

/** All answers as one run of bytes, so that a chunk of requests costs one write. */
function joined(replies: readonly Uint8Array[]): Uint8Array | undefined {
  return replies.length > 1 ? Buffer.concat(replies) : replies[0];
}
