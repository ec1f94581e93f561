/**
 * One line in our own frames: one request is out at a time, each with its own deadline, and bytes that come
 * while nothing is out are thrown away. What is heard is read by `receive`, as the virtual wire reads it.
 * Every trouble comes out as what was told; nothing throws.
 *
 * Over Modbus TCP each request has a number of its own, and after one that was given up the connection is
 * made anew, so that a late answer finds nobody. RTU has no numbers: a request waits for the line's silence,
 * and for what owed-answers.ts says.
 */
import {
  type AskedOnWire,
  CRC_BYTES,
  encodeFrame,
  encodeRequest,
  encodeRtu,
  type Received,
  type Request,
  receive,
  rtuAnswer,
} from '../modbus/index.ts';
import { messageOf } from '../text/message-of.ts';
import type { UnitId } from '../units/index.ts';
import { type MayPass, OwedAnswers } from './owed-answers.ts';
import type { OpenLine, RawLine } from './raw-line.ts';
import { atDeadline } from './within.ts';

export interface LineOptions {
  readonly open: OpenLine;
  readonly framing: AskedOnWire['framing']['kind'];
  /** What parts two frames in RTU. */
  readonly silenceMs: number;
  /** Which late answers the asker could take for others. */
  readonly mayPass: MayPass;
  /** A peer that vanished without a word is found out by a new connection alone; a port says when it goes. */
  readonly dropsUnheard: boolean;
}

export interface LineWatcher {
  connected(): void;
  /** One that was there is given up, or was closed by the other side; it is made anew at the next request. */
  dropped(reason: string): void;
  /** None can be made: an outage. */
  unreachable(reason: string): void;
}

/** For whoever does not mind what becomes of the connection. */
export const UNWATCHED: LineWatcher = {
  connected: () => undefined,
  dropped: () => undefined,
  unreachable: () => undefined,
};

export type Told =
  /** All that came, up to the answer or the deadline, and what a careful client makes of it. */
  | {
      readonly kind: 'heard';
      readonly asked: AskedOnWire;
      readonly bytes: Uint8Array;
      readonly received: Received;
    }
  /** The line went while the request waited for it. */
  | { readonly kind: 'silent' }
  /** The line did not become quiet enough: nothing was sent. */
  | { readonly kind: 'unquiet' }
  /** There is no line. */
  | { readonly kind: 'lost'; readonly reason: string };

/** Four of the longest frames (Modbus TCP): more in one exchange is no answer, and is not kept. */
const HEARD_BYTES_MAX = 4 * 260;
/** As many requests without a byte, and the connection is made anew. */
const UNHEARD_MAX = 5;
/** A line that does not fall quiet in so many time-outs carries no question. */
const QUIET_TIMEOUTS_MAX = 2;
const TRANSACTIONS = 0x10000;
const NO_BYTES = new Uint8Array(0);
const UNIT_BYTES = 1;
const CLOSED: Told = { kind: 'lost', reason: 'it was closed' };

/** A request that is out. */
interface Out {
  readonly asked: AskedOnWire;
  readonly listensOnMs: number;
  heard: Uint8Array;
  readonly end: () => void;
}

export class FramedLine {
  readonly #options: LineOptions;
  readonly #watcher: LineWatcher;
  readonly #owed: OwedAnswers;
  #line: RawLine | null = null;
  #out: Out | null = null;
  #endPause: () => void = () => undefined;
  #turn: Promise<unknown> = Promise.resolve();
  #closed = false;
  #transactionId = 0;
  #heardAtMs = Number.NEGATIVE_INFINITY;
  #unheard = 0;

  constructor(options: LineOptions, watcher: LineWatcher) {
    this.#options = options;
    this.#watcher = watcher;
    this.#owed = new OwedAnswers(options.mayPass);
  }

  /** `timeoutMs` in real time; listens for so long after the first answer, should there be a second. */
  ask(unitId: UnitId, request: Request, timeoutMs: number, listensOnMs = 0): Promise<Told> {
    const told = this.#turn.then(() => this.#ask(unitId, request, timeoutMs, listensOnMs));
    this.#turn = told.catch(() => undefined);
    return told;
  }

  /** What was heard is not believed, or nothing was: what may still come is nobody's answer any more. */
  giveUp({ unitId, request, framing }: AskedOnWire): void {
    if (framing.kind === 'mbap') this.#drop('what came was no answer');
    else this.#owed.gaveUp(unitId, request, performance.now());
  }

  /** Ends what is out, or waits for a quiet line: the next request in the queue has its turn at once. */
  abandon(): void {
    this.#endPause();
    this.#out?.end();
  }

  close(): void {
    this.#closed = true;
    this.#line?.close();
    this.#line = null;
    this.#out?.end();
  }

  async #ask(unitId: UnitId, request: Request, timeoutMs: number, listensOnMs: number): Promise<Told> {
    const lost = await this.#connected();
    if (lost !== null) return lost;
    const framing = this.#framing();
    const asked: AskedOnWire = { framing, unitId, request, timeoutMs };
    if (framing.kind === 'rtu' && !(await this.#quiet(asked, framing.silenceMs))) return { kind: 'unquiet' };
    // It may have gone while we waited.
    if (this.#line === null) return { kind: 'silent' };
    const bytes = await this.#exchanged(this.#line, asked, listensOnMs);
    // It was in time, or it would not have been kept.
    const received = receive({ parts: [{ afterMs: 0, bytes }], hangsUp: false }, asked);
    this.#settle(asked, bytes, received);
    return { kind: 'heard', asked, bytes, received };
  }

  async #connected(): Promise<Told | null> {
    // After a power cut nothing more happens on the wire, and nobody is told of anything.
    if (this.#closed) return CLOSED;
    if (this.#line !== null) return null;
    try {
      const line = await this.#options.open({
        heard: (bytes) => {
          this.#hear(bytes);
        },
        ended: (reason) => {
          this.#drop(reason);
        },
      });
      if (this.#isClosed()) {
        line.close();
        return CLOSED;
      }
      this.#line = line;
      this.#unheard = 0;
      this.#watcher.connected();
      return null;
    } catch (error) {
      const reason = messageOf(error);
      if (!this.#isClosed()) this.#watcher.unreachable(reason);
      return { kind: 'lost', reason };
    }
  }

  /** A method, because the answer may change across an await. */
  #isClosed(): boolean {
    return this.#closed;
  }

  #drop(reason: string): void {
    const dropped = this.#line;
    this.#line = null;
    if (dropped === null) return;
    dropped.close();
    this.#watcher.dropped(reason);
    this.#out?.end();
  }

  #framing(): AskedOnWire['framing'] {
    const { framing, silenceMs } = this.#options;
    if (framing === 'rtu') return { kind: framing, silenceMs };
    this.#transactionId = (this.#transactionId + 1) % TRANSACTIONS;
    return { kind: framing, transactionId: this.#transactionId };
  }

  /** Waits until the request may go out; false where the line never becomes quiet enough. */
  async #quiet({ unitId, request, timeoutMs }: AskedOnWire, silenceMs: number): Promise<boolean> {
    // Counted from here, whatever is heard: a line may chatter for ever.
    const untilMs = performance.now() + silenceMs + QUIET_TIMEOUTS_MAX * timeoutMs;
    const silentInMs = (): number => this.#heardAtMs + silenceMs - performance.now();
    for (let waitMs = silentInMs(); ; ) {
      // Once at least: what came in while the process was held up is heard before the line counts as quiet.
      if (await this.#pauseEnded(Math.max(waitMs, 0))) return false;
      const nowMs = performance.now();
      waitMs = Math.max(silentInMs(), this.#owed.waitMs(unitId, request, timeoutMs, nowMs));
      if (waitMs <= 0 || this.#line === null) return true;
      if (nowMs + waitMs > untilMs) return false;
    }
  }

  /** As long at least, and by then what has come in has been read; true where it was abandoned. */
  #pauseEnded(forMs: number): Promise<boolean> {
    return new Promise((resolve) => {
      const stop = atDeadline(forMs, () => {
        resolve(false);
      });
      this.#endPause = () => {
        stop();
        resolve(true);
      };
    });
  }

  /** Sends; gives back what came until the answer was there, the time was over, or the line was gone. */
  #exchanged(line: RawLine, asked: AskedOnWire, listensOnMs: number): Promise<Uint8Array> {
    return new Promise((resolve) => {
      const end = (): void => {
        if (this.#out !== out) return;
        stop();
        this.#out = null;
        resolve(out.heard);
      };
      const stop = atDeadline(asked.timeoutMs, end);
      const out: Out = { asked, listensOnMs, heard: NO_BYTES, end };
      this.#out = out;
      line.write(frameOf(asked));
    });
  }

  #hear(bytes: Uint8Array): void {
    this.#heardAtMs = performance.now();
    const out = this.#out;
    if (out === null) {
      this.#owed.stray(this.#heardAtMs);
      return;
    }
    const room = HEARD_BYTES_MAX - out.heard.length;
    out.heard = Uint8Array.of(...out.heard, ...bytes.subarray(0, room));
    if (!isDecided(out)) return;
    if (out.listensOnMs === 0) out.end();
    else atDeadline(out.listensOnMs, out.end);
  }

  #settle(asked: AskedOnWire, bytes: Uint8Array, received: Received): void {
    this.#unheard = bytes.length === 0 && this.#options.dropsUnheard ? this.#unheard + 1 : 0;
    if (asked.framing.kind === 'rtu') this.#settleOwed(asked, bytes);
    else if (received.kind !== 'answered' && received.kind !== 'refused') this.giveUp(asked);
    if (this.#unheard >= UNHEARD_MAX) this.#drop(`no byte in ${UNHEARD_MAX} requests`);
  }

  #settleOwed(asked: AskedOnWire, bytes: Uint8Array): void {
    const nowMs = performance.now();
    const pdu = rtuAnswer(bytes, asked);
    if (pdu === null) this.giveUp(asked);
    else this.#owed.answered(asked.unitId, asked.request, nowMs);
    if (bytes.length > (pdu === null ? 0 : UNIT_BYTES + pdu.length + CRC_BYTES)) this.#owed.stray(nowMs);
  }
}

function frameOf({ framing, unitId, request }: AskedOnWire): Uint8Array {
  const pdu = encodeRequest(request);
  return framing.kind === 'mbap'
    ? encodeFrame(framing.transactionId, unitId as UnitId, pdu)
    : encodeRtu(unitId, pdu);
}

/** RTU bytes that are no answer may only be the noise before one. */
function isDecided({ asked, heard }: Out): boolean {
  if (asked.framing.kind === 'rtu') return rtuAnswer(heard, asked) !== null;
  return receive({ parts: [{ afterMs: 0, bytes: heard }], hangsUp: false }, asked).kind !== 'nothing';
}
