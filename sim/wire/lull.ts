/** Tells when nothing has come for so long: what ends an RTU frame that does not tell its own end. */

export interface Lull {
  /** Something came: the quiet begins anew. */
  restart(): void;
  stop(): void;
}

/**
 * In real time: bytes come as fast as a line brings them, whatever the speed of the bench. A process that
 * was held up finds its timer due although bytes lie there unread; they are read first, since the event loop
 * comes to what is told by setImmediate after what the system has for it.
 */
export function lull(ms: number, call: () => void): Lull {
  let timer: NodeJS.Timeout | undefined;
  let reading: NodeJS.Immediate | undefined;
  const stop = (): void => {
    clearTimeout(timer);
    clearImmediate(reading);
  };
  return {
    stop,
    restart() {
      stop();
      timer = setTimeout(() => {
        reading = setImmediate(call);
      }, ms);
    },
  };
}
