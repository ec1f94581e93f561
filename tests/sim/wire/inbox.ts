/** Bytes as they come from a stream, to be read by number. */

export interface Inbox {
  readonly push: (chunk: Uint8Array) => void;
  /** Nothing more will come. */
  readonly end: () => void;
  /** The next bytes, exactly so many; rejects when the stream ends before, or nothing comes for a while. */
  readonly read: (bytes: number, patienceMs?: number) => Promise<Buffer>;
  /** All bytes that came and were not read yet; they stay. */
  readonly rest: () => Buffer;
  /** The same, taken. */
  readonly empty: () => Buffer;
}

/** Far longer than any answer takes on a loaded machine. */
const PATIENCE_MS = 20_000;

export function inbox(): Inbox {
  let received: Uint8Array[] = [];
  let available = 0;
  let ended = false;
  let wake: () => void = () => undefined;
  const take = (bytes: number): Buffer => {
    const whole = Buffer.concat(received);
    received = [whole.subarray(bytes)];
    available -= bytes;
    return whole.subarray(0, bytes);
  };
  return {
    push(chunk) {
      received.push(chunk);
      available += chunk.length;
      wake();
    },
    end() {
      ended = true;
      wake();
    },
    rest: () => Buffer.concat(received),
    empty: () => take(available),
    async read(bytes, patienceMs = PATIENCE_MS) {
      let late = false as boolean;
      const patience = setTimeout(() => {
        late = true;
        wake();
      }, patienceMs);
      while (available < bytes && !ended && !late) {
        await new Promise<void>((settle) => {
          wake = settle;
        });
      }
      clearTimeout(patience);
      if (available >= bytes) return take(bytes);
      throw new Error(`${ended ? 'ended' : 'silent'} with ${available} of ${bytes} bytes`);
    },
  };
}
