/**
 * One line that anything can be asked on, in our own frames: a survey asks with function 2B too, at which
 * modbus-serial's client ends the process.
 *
 * One request is out at a time. Over Modbus TCP each has a number of its own, and after one that was given up
 * the connection is made anew, so that a late answer finds nobody. RTU has no numbers: after a request that
 * was given up, another one to the same unit waits until the line has been quiet for one time-out; the same
 * request may go again at once.
 */
import { setTimeout as sleep } from 'node:timers/promises';
import {
  type AskedOnWire,
  decodeResponse,
  EXCEPTIONS,
  encodeFrame,
  encodeRequest,
  encodeRtu,
  type Received,
  type Request,
  type Response,
  receive,
  rtuAnswer,
  serialTimes,
} from '../modbus/index.ts';
import type { Outcome } from '../poll/index.ts';
import { addressText, BAUD_DEFAULT, type BusAddress, PARITY_DEFAULT, stopBitsFor } from '../rig/index.ts';
import { type LineListener, type OpenLine, type RawLine, socketLine } from '../supervisor/raw-line.ts';
import { serialLine } from '../supervisor/serial-line.ts';
import { atDeadline } from '../supervisor/within.ts';
import { messageOf } from '../text/message-of.ts';
import type { UnitId } from '../units/index.ts';
import { hasSecondAnswer } from './second-answer.ts';

/** The line itself is gone; what was asked is not known to have been heard. */
export interface Lost {
  readonly kind: 'lost';
  readonly reason: string;
}

export interface Exchange {
  readonly address: string;
  /** `timeoutMs` in real time; `listensOn` for a second answer after the first. */
  ask(
    unitId: UnitId,
    request: Request,
    timeoutMs: number,
    listensOn?: boolean,
  ): Promise<Outcome<Response> | Lost>;
  close(): void;
}

const CLOSED: Lost = { kind: 'lost', reason: 'it was closed' };

const EXCEPTION_CODES: ReadonlySet<number> = new Set(Object.values(EXCEPTIONS).map(({ code }) => code));
const US_PER_MS = 1000;
const TRANSACTIONS = 0x10000;
/** Four of the longest frames: more in one exchange is no answer, and is not kept. */
const HEARD_BYTES_MAX = 1040;
/** The longest answer of a sensor and the silence before it, at 9600 bits a second. */
const LISTENS_ON_MS = 70;
const BEHIND_SOCKET = { baud: BAUD_DEFAULT, parity: PARITY_DEFAULT, stopBits: stopBitsFor(PARITY_DEFAULT) };

export function exchangeOn(address: BusAddress): Exchange {
  return new LineExchange(address);
}

/** A request that is out. */
interface Out {
  readonly asked: AskedOnWire;
  readonly listensOn: boolean;
  readonly sentAtMs: number;
  readonly parts: { readonly afterMs: number; readonly bytes: Uint8Array }[];
  end: () => void;
}

interface GivenUp {
  readonly unitId: number;
  readonly pdu: string;
  readonly quietFromMs: number;
}

class LineExchange implements Exchange {
  readonly address: string;
  readonly #open: OpenLine;
  readonly #isTcp: boolean;
  readonly #silenceMs: number;
  #line: RawLine | null = null;
  #out: Out | null = null;
  #transactionId = 0;
  #heardAtMs = Number.NEGATIVE_INFINITY;
  #givenUp: GivenUp | null = null;
  #closed = false;

  constructor(address: BusAddress) {
    this.address = addressText(address);
    this.#isTcp = address.kind === 'tcp';
    this.#open = address.kind === 'rtu' ? serialLine(address) : socketLine(address);
    this.#silenceMs = serialTimes(address.kind === 'rtu' ? address : BEHIND_SOCKET).silenceUs / US_PER_MS;
  }

  async ask(
    unitId: UnitId,
    request: Request,
    timeoutMs: number,
    listensOn = false,
  ): Promise<Outcome<Response> | Lost> {
    const pdu = encodeRequest(request);
    const lost = await this.#connected();
    if (lost !== null) return lost;
    if (!this.#isTcp) await this.#quiet(unitId, String(pdu), timeoutMs);
    // It may have gone while we waited.
    if (this.#line === null) return { kind: 'silent' };
    const asked: AskedOnWire = { framing: this.#framing(), unitId, request, timeoutMs };
    const parts = await this.#exchanged(this.#line, asked, pdu, listensOn);
    const outcome = judge(asked, parts);
    this.#settle(outcome, unitId, String(pdu));
    return outcome;
  }

  close(): void {
    this.#closed = true;
    this.#line?.close();
    this.#line = null;
    this.#out?.end();
  }

  async #connected(): Promise<Lost | null> {
    if (this.#line !== null) return null;
    if (this.#closed) return CLOSED;
    try {
      this.#line = await this.#open(this.#listener());
    } catch (error) {
      return { kind: 'lost', reason: messageOf(error) };
    }
    if (!this.#isClosed()) return null;
    this.close();
    return CLOSED;
  }

  /** A method, because the answer may change across an await. */
  #isClosed(): boolean {
    return this.#closed;
  }

  #framing(): AskedOnWire['framing'] {
    if (!this.#isTcp) return { kind: 'rtu', silenceMs: this.#silenceMs };
    this.#transactionId = (this.#transactionId + 1) % TRANSACTIONS;
    return { kind: 'mbap', transactionId: this.#transactionId };
  }

  /** What may still come after it is nobody's answer any more. */
  #settle(outcome: Outcome<Response>, unitId: number, pdu: string): void {
    if (outcome.kind === 'answered' || outcome.kind === 'refused') {
      this.#givenUp = null;
      return;
    }
    this.#givenUp = { unitId, pdu, quietFromMs: performance.now() };
    if (!this.#isTcp) return;
    this.#line?.close();
    this.#line = null;
  }

  async #quiet(unitId: number, pdu: string, timeoutMs: number): Promise<void> {
    const owed = this.#givenUp;
    const isOwed = owed?.unitId === unitId && owed.pdu !== pdu;
    for (;;) {
      const nowMs = performance.now();
      const owedMs = isOwed ? Math.max(owed.quietFromMs, this.#heardAtMs) + timeoutMs - nowMs : 0;
      const waitMs = Math.max(owedMs, this.#heardAtMs + this.#silenceMs - nowMs);
      // A line that never falls quiet is asked all the same: what comes will tell.
      if (waitMs <= 0 || nowMs > (owed?.quietFromMs ?? nowMs) + 3 * timeoutMs) return;
      await sleep(waitMs);
    }
  }

  #exchanged(line: RawLine, asked: AskedOnWire, pdu: Uint8Array, listensOn: boolean): Promise<Out['parts']> {
    return new Promise((resolve) => {
      const end = (): void => {
        if (this.#out !== out) return;
        stop();
        this.#out = null;
        resolve(out.parts);
      };
      const stop = atDeadline(asked.timeoutMs, end);
      const out: Out = { asked, listensOn, sentAtMs: performance.now(), parts: [], end };
      this.#out = out;
      const unit = asked.unitId as UnitId;
      line.write(
        asked.framing.kind === 'mbap'
          ? encodeFrame(asked.framing.transactionId, unit, pdu)
          : encodeRtu(unit, pdu),
      );
    });
  }

  #listener(): LineListener {
    return {
      heard: (bytes) => {
        this.#hear(bytes);
      },
      ended: () => {
        this.#line = null;
        this.#out?.end();
      },
    };
  }

  #hear(bytes: Uint8Array): void {
    this.#heardAtMs = performance.now();
    const out = this.#out;
    if (out === null) return;
    const kept = out.parts.reduce((sum, part) => sum + part.bytes.length, 0);
    const room = HEARD_BYTES_MAX - kept;
    // A copy: the socket's buffer is its own. Time counts for the deadline alone, which `end` keeps.
    out.parts.push({ afterMs: 0, bytes: Uint8Array.from(bytes.subarray(0, room)) });
    if (!isDecided(out)) return;
    if (!out.listensOn) out.end();
    else atDeadline(LISTENS_ON_MS, out.end);
  }
}

/** RTU bytes that are no answer may only be the noise before one. */
function isDecided({ asked, parts }: Out): boolean {
  if (asked.framing.kind === 'rtu') return rtuAnswer(joined(parts), asked) !== null;
  return receive({ parts, hangsUp: false }, asked).kind !== 'nothing';
}

function judge(asked: AskedOnWire, parts: Out['parts']): Outcome<Response> {
  const heard = joined(parts);
  const outcome = outcomeOf(receive({ parts, hangsUp: false }, asked), asked.request, heard.length);
  return outcome.kind === 'answered' && hasSecondAnswer(heard, asked)
    ? { kind: 'mismatched', field: 'two answers to one request' }
    : outcome;
}

function outcomeOf(received: Received, request: Request, heardBytes: number): Outcome<Response> {
  switch (received.kind) {
    case 'nothing':
      // Each connection has its own numbers: what came and names no request of ours is not a late answer.
      return heardBytes === 0 ? { kind: 'silent' } : { kind: 'mismatched', field: 'frame' };
    case 'mismatched':
      return { kind: 'mismatched', field: received.field };
    case 'refused':
      // What two talkers make of their exceptions has a code that no standard lists.
      return EXCEPTION_CODES.has(received.exception)
        ? { kind: 'refused', exception: received.exception }
        : { kind: 'mismatched', field: 'exceptionCode' };
    case 'answered': {
      const response = decodeResponse(received.pdu, request);
      if (response.kind === 'mismatched') return response;
      return response.kind === 'exception'
        ? { kind: 'refused', exception: response.code }
        : { kind: 'answered', answer: response };
    }
  }
}

function joined(parts: Out['parts']): Uint8Array {
  return Uint8Array.from(parts.flatMap(({ bytes }) => [...bytes]));
}
