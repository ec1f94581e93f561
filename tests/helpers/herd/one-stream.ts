/**
 * The bytes of the stream as every client must get them. Who is furthest ahead adds to them, and there each
 * event is looked at; all others are held against these bytes. A thousand clients that looked at a thousand
 * events a second would need more processors than there are.
 */
const SEQUENCE = Buffer.from('"sequence":');
const TIME = /"time":"([^"]+)"/u;
const BYTES_MAX = 64 * 1024 * 1024;
const TIMED_EVERY = 20;
const TEXT = 0x81;
const LENGTH_16 = 126;
const LENGTH_64 = 127;

/** An event whose way is timed: where it ends, and when it was stored. */
export interface Timed {
  readonly endsAt: number;
  readonly storedMs: number;
}

export class OneStream {
  readonly timed: Timed[] = [];
  readonly #bytes = Buffer.alloc(BYTES_MAX);
  #length = 0;
  /** Where the first frame begins that is not whole yet. */
  #read = 0;
  #last = 0;

  /** Sequence of the last event that is whole, where all came in order. */
  get last(): number {
    return this.#last;
  }

  /** Where it ends. */
  get endsAt(): number {
    return this.#read;
  }

  /** Whether these bytes are the ones that belong there. Throws where an event is missing or comes again. */
  takes(chunk: Buffer, at: number): boolean {
    const known = Math.min(chunk.length, this.#length - at);
    if (!chunk.subarray(0, known).equals(this.#bytes.subarray(at, at + known))) return false;
    if (known === chunk.length) return true;
    chunk.copy(this.#bytes, this.#length, known);
    this.#length += chunk.length - known;
    for (let end = this.#frameEnd(); end <= this.#length; end = this.#frameEnd()) this.#event(end);
    return true;
  }

  #event(end: number): void {
    const frame = this.#bytes.subarray(this.#read, end);
    if (frame[0] !== TEXT) throw new Error('a healthy client was cut: this machine gives it too little time');
    const from = frame.indexOf(SEQUENCE) + SEQUENCE.length;
    const sequence = Number.parseInt(frame.toString('latin1', from, from + 12), 10);
    if (sequence !== this.#last + 1) throw new Error(`${sequence} came after ${this.#last}`);
    this.#last = sequence;
    this.#read = end;
    if (sequence % TIMED_EVERY > 0) return;
    const [, time = ''] = TIME.exec(frame.toString('latin1')) ?? [];
    this.timed.push({ endsAt: end, storedMs: Date.parse(time) });
  }

  #frameEnd(): number {
    const at = this.#read;
    if (at + 10 > this.#length) return Number.POSITIVE_INFINITY;
    const length = this.#bytes[at + 1] ?? 0;
    if (length < LENGTH_16) return at + 2 + length;
    return length === LENGTH_64
      ? at + 10 + Number(this.#bytes.readBigUInt64BE(at + 2))
      : at + 4 + this.#bytes.readUInt16BE(at + 2);
  }
}
