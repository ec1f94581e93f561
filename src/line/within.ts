/** A promise against its deadline. */

export type Settled<Value> =
  | { readonly kind: 'done'; readonly value: Value }
  | { readonly kind: 'failed'; readonly error: unknown }
  | { readonly kind: 'late' };

/** Connecting over a LAN takes milliseconds; a bus that takes longer than this is not there. */
export const CONNECT_MS_MAX = 1000;

/** Races a promise against its deadline; one that settles later, or never, is forgotten. */
export function within<Value>(promise: Promise<Value>, limitMs: number): Promise<Settled<Value>> {
  return new Promise((resolve) => {
    const stop = atDeadline(limitMs, () => {
      resolve({ kind: 'late' });
    });
    promise.then(
      (value) => {
        stop();
        resolve({ kind: 'done', value });
      },
      (error: unknown) => {
        stop();
        resolve({ kind: 'failed', error });
      },
    );
  });
}

/**
 * Calls back at the deadline, unless stopped before. What has already come in by then is still read first
 * (setImmediate runs after the sockets): a process that was held up must not take its own delay for the
 * silence of the bus.
 */
export function atDeadline(limitMs: number, call: () => void): () => void {
  let last: NodeJS.Immediate | undefined;
  const timer = setTimeout(() => {
    last = setImmediate(call);
  }, limitMs);
  return () => {
    clearTimeout(timer);
    clearImmediate(last);
  };
}
