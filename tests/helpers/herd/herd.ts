/** Many clients of the event stream in one process: some read whatever comes, some stall. */
import { connect, type Socket } from 'node:net';
import { OneStream } from './one-stream.ts';

export interface HerdReport {
  /** Healthy clients that got every event once, in order, up to the last. */
  readonly whole: number;
  /** Close codes of those that had stalled. */
  readonly closeCodes: readonly number[];
  /** From storing to arrival, of every so-many-th event of the healthy. */
  readonly lateMs: readonly number[];
}

const KEY = 'dGhlIHNhbXBsZSBub25jZQ==';
const SWITCHED = 'HTTP/1.1 101';
const HEAD_END = '\r\n\r\n';
const CLOSE = 0x88;
/** RFC 6455 section 7.1.5: the connection ended without a close frame. */
const NO_CODE = 1006;
/** A close frame has at most so many bytes. */
const TAIL_BYTES = 128;
/** Masked, and nothing in it. */
const GOODBYE = Buffer.from([CLOSE, 0x80, 0, 0, 0, 0]);
const CONNECTING_AT_ONCE = 50;

export class Herd {
  readonly #stream = new OneStream();
  readonly #healthy: HerdClient[] = [];
  readonly #stalled: HerdClient[] = [];

  /** All are open, and the stalled read no more, when it resolves. */
  async open(port: number, healthy: number, stalled: number): Promise<void> {
    for (let opened = 0; opened < healthy + stalled; opened += CONNECTING_AT_ONCE) {
      const count = Math.min(CONNECTING_AT_ONCE, healthy + stalled - opened);
      await Promise.all(
        Array.from({ length: count }, async (_, index) => {
          const isStalled = opened + index < stalled;
          const client = new HerdClient(port, isStalled ? null : this.#stream);
          await client.opened;
          if (isStalled) client.socket.pause();
          (isStalled ? this.#stalled : this.#healthy).push(client);
        }),
      );
    }
  }

  /** Waits until the healthy have come to the last event and the stalled, which now read on, are closed. */
  async report(last: number): Promise<HerdReport> {
    const whole = await Promise.all(this.#healthy.map((client) => client.comesTo(last)));
    for (const { socket } of this.#stalled) socket.resume();
    const closeCodes = await Promise.all(this.#stalled.map((client) => client.closed));
    for (const { socket } of this.#healthy) socket.destroy();
    return {
      whole: whole.filter((one) => one).length,
      closeCodes,
      lateMs: this.#healthy.flatMap(({ lateMs }) => lateMs),
    };
  }
}

class HerdClient {
  readonly socket: Socket;
  readonly opened: Promise<void>;
  readonly closed: Promise<number>;
  readonly lateMs: number[] = [];
  /** null: one that stalls; of it only the end is looked at. */
  readonly #stream: OneStream | null;
  #head = '';
  #isOpen = false;
  #at = 0;
  #timed = 0;
  #asExpected = true;
  #tail: Buffer = Buffer.alloc(0);
  #arrived: () => void = () => undefined;

  constructor(port: number, stream: OneStream | null) {
    this.#stream = stream;
    this.socket = connect({ port, host: '127.0.0.1' });
    this.closed = new Promise((resolve) => {
      this.socket.on('close', () => {
        resolve(codeIn(this.#tail));
        this.#arrived();
      });
    });
    this.socket.on('error', () => undefined);
    this.opened = new Promise((resolve, reject) => {
      this.socket.on('data', (chunk: Buffer) => {
        if (this.#isOpen) this.#read(chunk);
        else this.#handshake(chunk, resolve, reject);
      });
    });
    this.socket.write(
      'GET /api/v1/stream?after=0 HTTP/1.1\r\nHost: localhost\r\nUpgrade: websocket\r\n' +
        `Connection: Upgrade\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: ${KEY}\r\n\r\n`,
    );
  }

  /** Whether it got each event once, in order, to the last. */
  async comesTo(last: number): Promise<boolean> {
    const stream = this.#stream;
    const isThere = (): boolean => stream?.last === last && this.#at === stream.endsAt;
    while (this.#asExpected && !isThere() && !this.socket.closed) {
      await new Promise<void>((resolve) => {
        this.#arrived = resolve;
      });
    }
    return this.#asExpected && isThere();
  }

  #handshake(chunk: Buffer, opened: () => void, failed: (error: Error) => void): void {
    this.#head += chunk.toString('latin1');
    const end = this.#head.indexOf(HEAD_END);
    if (end < 0) return;
    if (!this.#head.startsWith(SWITCHED)) failed(new Error(this.#head));
    this.#isOpen = true;
    opened();
    const rest = Buffer.from(this.#head.slice(end + HEAD_END.length), 'latin1');
    if (rest.length > 0) this.#read(rest);
  }

  #read(chunk: Buffer): void {
    if (this.#stream === null) {
      this.#tail = Buffer.concat([this.#tail, chunk]).subarray(-TAIL_BYTES);
      if (codeIn(this.#tail) !== NO_CODE) this.socket.end(GOODBYE);
      return;
    }
    this.#asExpected &&= this.#stream.takes(chunk, this.#at);
    this.#at += chunk.length;
    const now = Date.now();
    const { timed } = this.#stream;
    for (let next = timed[this.#timed]; next && next.endsAt <= this.#at; next = timed[this.#timed]) {
      this.lateMs.push(now - next.storedMs);
      this.#timed += 1;
    }
    this.#arrived();
  }
}

/** The code of the close frame that ends these bytes. */
function codeIn(tail: Buffer): number {
  for (let at = 0; at < tail.length - 3; at += 1) {
    if (tail[at] === CLOSE && at + 2 + (tail[at + 1] ?? 0) === tail.length) return tail.readUInt16BE(at + 2);
  }
  return NO_CODE;
}
