/**
 * Follows the event stream over one socket, and over many with pauses in between, without a gap.
 *
 * Sequences count from 1 without a gap, so the next event after `last` is `last + 1`: an older one has
 * been seen, a later one means that something was lost, and the socket is given up for a new one that
 * asks for everything after `last`.
 */
import type { CloudEvent } from '../../events/index.ts';

export interface SocketEvents {
  readonly opened: () => void;
  readonly message: (text: string) => void;
  readonly closed: () => void;
}

/** Opens a socket; the real one in the page, another library's in tests. */
export type OpenSocket = (url: string, on: SocketEvents) => { readonly close: () => void };

/** First pause before a new try; each failure doubles it, up to the last. */
export const FIRST_PAUSE_MS = 250;
export const LAST_PAUSE_MS = 8000;

export function nextPauseMs(pauseMs: number, gotSomething: boolean): number {
  return gotSomething ? FIRST_PAUSE_MS : Math.min(pauseMs * 2, LAST_PAUSE_MS);
}

export interface Following {
  /** Settles when the socket is gone, with how many events it brought. */
  readonly ended: Promise<number>;
  readonly close: () => void;
}

/** One socket's life: `take` gets every event after `after` once and in order. */
export function follow(
  open: OpenSocket,
  urlAfter: (sequence: number) => string,
  after: number,
  on: { readonly opened: () => void; readonly take: (event: CloudEvent) => void },
): Following {
  let last = after;
  let over = false;
  let close = (): void => undefined;
  const ended = new Promise<number>((resolve) => {
    const socket = open(urlAfter(after), {
      opened: on.opened,
      message: (text) => {
        if (over) return;
        const event = JSON.parse(text) as CloudEvent;
        if (event.sequence <= last) return;
        if (event.sequence > last + 1) {
          over = true;
          socket.close();
          return;
        }
        last = event.sequence;
        on.take(event);
      },
      closed: () => {
        over = true;
        resolve(last - after);
      },
    });
    close = () => {
      socket.close();
    };
  });
  return { ended, close };
}
