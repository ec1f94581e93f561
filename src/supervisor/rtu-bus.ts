/**
 * One line in RTU frames, on a serial port or through a socket.
 *
 * Not modbus-serial, which serves Modbus TCP here: over a socket its RTU client takes every later answer for
 * the one before, once one came late; on a port it must be opened anew after each time-out. So the bytes are
 * read by `receive`, as the virtual wire reads them. What this client sees to: one request is out at a time;
 * each has its own deadline; bytes that come while nothing is out are thrown away; a request waits for the
 * line's silence, and for what owed-answers.ts says. Every trouble comes out as an outcome; nothing throws.
 */
import {
  type AskedOnWire,
  CRC_BYTES,
  encodeRequest,
  encodeRtu,
  receive,
  rtuAnswer,
  type TableRequest,
} from '../modbus/index.ts';
import type { Outcome } from '../poll/index.ts';
import { messageOf } from '../text/message-of.ts';
import type { UnitId } from '../units/index.ts';
import type { BusClient, BusWatcher } from './bus.ts';
import { outcomeOf, SILENT } from './outcome-of.ts';
import { OwedAnswers } from './owed-answers.ts';
import type { OpenLine, RawLine } from './raw-line.ts';
import { atDeadline, pause } from './within.ts';

export interface RtuBusOptions {
  readonly address: string;
  readonly open: OpenLine;
  /** What parts two frames. */
  readonly silenceMs: number;
  /** A peer that vanished without a word is found out by a new connection alone; a port says when it goes. */
  readonly dropsUnheard: boolean;
}

/** Four of the longest frames: more in one exchange is no answer, and is not kept. */
const HEARD_BYTES_MAX = 1024;
/** As many requests without a byte, and the connection is made anew. */
const UNHEARD_MAX = 5;
/** A line that does not fall quiet in so many time-outs carries no question. */
const QUIET_TIMEOUTS_MAX = 2;
const NEVER_QUIET: Outcome<ArrayLike<number>> = { kind: 'mismatched', field: 'quiet' };
const NO_BYTES = new Uint8Array(0);
const UNIT_BYTES = 1;

/** A request that is out. */
interface Exchange {
  readonly asked: AskedOnWire & { readonly request: TableRequest };
  heard: Uint8Array;
  readonly end: () => void;
}

export function rtuBus(options: RtuBusOptions, watcher: BusWatcher): BusClient {
  return new RtuBus(options, watcher);
}

class RtuBus implements BusClient {
  readonly #options: RtuBusOptions;
  readonly #watcher: BusWatcher;
  readonly #owed = new OwedAnswers();
  #line: RawLine | null = null;
  #exchange: Exchange | null = null;
  #turn: Promise<unknown> = Promise.resolve();
  #closed = false;
  #heardAtMs = Number.NEGATIVE_INFINITY;
  #unheard = 0;

  constructor(options: RtuBusOptions, watcher: BusWatcher) {
    this.#options = options;
    this.#watcher = watcher;
  }

  get address(): string {
    return this.#options.address;
  }

  perform(unitId: UnitId, request: TableRequest, timeoutMs: number): Promise<Outcome<ArrayLike<number>>> {
    const performed = this.#turn.then(() => this.#perform(unitId, request, timeoutMs));
    this.#turn = performed.catch(() => undefined);
    return performed;
  }

  close(): void {
    this.#closed = true;
    this.#line?.close();
    this.#line = null;
    this.#exchange?.end();
  }

  async #perform(
    unitId: UnitId,
    request: TableRequest,
    timeoutMs: number,
  ): Promise<Outcome<ArrayLike<number>>> {
    if ((await this.#connected()) === null) return SILENT;
    if (!(await this.#quiet(unitId, request, timeoutMs))) return NEVER_QUIET;
    // It may have gone while we waited.
    const line = this.#line;
    if (line === null) return SILENT;
    const { silenceMs } = this.#options;
    const asked = { framing: { kind: 'rtu', silenceMs }, unitId, request, timeoutMs } as const;
    const outcome = this.#judge(asked, await this.#exchanged(line, asked));
    if (this.#unheard >= UNHEARD_MAX) this.#drop(`no byte in ${UNHEARD_MAX} requests`);
    return outcome;
  }

  async #connected(): Promise<RawLine | null> {
    // After a power cut nothing more happens on the wire, and nobody is told of anything.
    if (this.#closed || this.#line !== null) return this.#line;
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
        return null;
      }
      this.#line = line;
      this.#unheard = 0;
      this.#watcher.connected();
      return line;
    } catch (error) {
      if (!this.#isClosed()) this.#watcher.lost(`no connection: ${messageOf(error)}`);
      return null;
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
    this.#watcher.lost(reason);
    this.#exchange?.end();
  }

  /** Waits until the request may go out; false where the line never becomes quiet enough. */
  async #quiet(unitId: UnitId, request: TableRequest, timeoutMs: number): Promise<boolean> {
    const { silenceMs } = this.#options;
    const untilMs = performance.now() + silenceMs + QUIET_TIMEOUTS_MAX * timeoutMs;
    const silentInMs = (): number => this.#heardAtMs + silenceMs - performance.now();
    for (let waitMs = silentInMs(); ; ) {
      // Once at least: what came in while the process was held up is heard before the line counts as quiet.
      await pause(Math.max(waitMs, 0));
      const nowMs = performance.now();
      waitMs = Math.max(silentInMs(), this.#owed.waitMs(unitId, request, timeoutMs, nowMs));
      if (waitMs <= 0 || this.#line === null) return true;
      if (nowMs + waitMs > untilMs) return false;
    }
  }

  /** Sends; gives back what came until the answer was there, the time was over, or the line was gone. */
  #exchanged(line: RawLine, asked: Exchange['asked']): Promise<Uint8Array> {
    return new Promise((resolve) => {
      const end = (): void => {
        if (this.#exchange !== exchange) return;
        stop();
        this.#exchange = null;
        resolve(exchange.heard);
      };
      const stop = atDeadline(asked.timeoutMs, end);
      const exchange: Exchange = { asked, heard: NO_BYTES, end };
      this.#exchange = exchange;
      line.write(encodeRtu(asked.unitId, encodeRequest(asked.request)));
    });
  }

  #hear(bytes: Uint8Array): void {
    this.#heardAtMs = performance.now();
    const exchange = this.#exchange;
    if (exchange === null) {
      this.#owed.stray(this.#heardAtMs);
      return;
    }
    const room = HEARD_BYTES_MAX - exchange.heard.length;
    exchange.heard = Uint8Array.of(...exchange.heard, ...bytes.subarray(0, room));
    if (rtuAnswer(exchange.heard, exchange.asked) !== null) exchange.end();
  }

  #judge(asked: Exchange['asked'], heard: Uint8Array): Outcome<ArrayLike<number>> {
    const { unitId, request } = asked;
    const nowMs = performance.now();
    this.#unheard = heard.length === 0 && this.#options.dropsUnheard ? this.#unheard + 1 : 0;
    const pdu = rtuAnswer(heard, asked);
    if (pdu === null) this.#owed.gaveUp(unitId, request, nowMs);
    else this.#owed.answered(unitId, request, nowMs);
    if (heard.length > (pdu === null ? 0 : UNIT_BYTES + pdu.length + CRC_BYTES)) this.#owed.stray(nowMs);
    // It was in time, or it would not have been kept.
    const received = receive({ parts: [{ afterMs: 0, bytes: heard }], hangsUp: false }, asked);
    const outcome = outcomeOf(received, request);
    return outcome.kind === 'answered' ? { ...outcome, answer: Array.from(outcome.answer) } : outcome;
  }
}
