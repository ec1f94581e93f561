/**
 * One accepted socket: hands its bytes to a dialogue, sends the replies, and ends clients that overdo it.
 *
 * Back-pressure: while a reply is not yet taken by the peer nothing more is read, so at most one chunk's
 * replies wait here. Timers run only while something is owed; an ordinary exchange touches none.
 */
import type { Socket } from 'node:net';
import type { FaceLimits } from './face-limits.ts';
import type { Dialogue } from './mbap-dialogue.ts';
import { type After, outlet } from './outlet.ts';

/** Connections that a limit ended, by limit. */
export interface Cutoffs {
  halfFrames: number;
  unread: number;
}

export interface Connection {
  /** Goes up with every chunk: says which connection is unused for longest. */
  lastUsed(): number;
  cut(): void;
}

/**
 * Wires the socket up, to live until either side ends it. `nextUse` counts uses of the face, `after` times
 * disturbed answers.
 */
export function converse(
  socket: Socket,
  dialogue: Dialogue,
  limits: FaceLimits,
  cutoffs: Cutoffs,
  nextUse: () => number,
  after: After,
): Connection {
  let lastUsed = nextUse();
  let begun = false;
  const cutAfter = (limitMs: number, counter: keyof Cutoffs) =>
    deadline(limitMs, () => {
      cutoffs[counter] += 1;
      socket.destroy();
    });
  const halfFrame = cutAfter(limits.halfFrameMs, 'halfFrames');
  const unread = cutAfter(limits.unreadMs, 'unread');

  const write = (bytes: Uint8Array): void => {
    // What was due after the end of the connection is nobody's.
    if (!socket.writable) return;
    // False means that the system did not take all of it at once: the peer reads more slowly than it asks.
    if (socket.write(bytes)) return;
    socket.pause();
    unread.start();
    // Not reading is our doing now: the frame's time begins again when we go on.
    halfFrame.stop();
  };
  // What is owed still goes out, unless the peer does not take it.
  const hangUp = (): void => {
    unread.start();
    socket.destroySoon();
  };
  const out = outlet(after, write, hangUp);

  socket.on('data', (chunk) => {
    lastUsed = nextUse();
    const { reply, emissions, completed, halfFrame: half, lost } = dialogue.take(chunk);
    begun = half;
    // A new frame gets its own time; the rest of an old one gets none, or it could dribble in for ever.
    if (completed || !begun) halfFrame.stop();
    if (begun) halfFrame.start();
    if (reply !== undefined) out.reply(reply);
    for (const emission of emissions) out.emit(emission);
    if (lost) hangUp();
  });
  socket.on('drain', () => {
    unread.stop();
    if (begun) halfFrame.start();
    socket.resume();
  });
  // A peer that resets its connection is no trouble of the bench; 'close' follows.
  socket.on('error', () => undefined);
  socket.on('close', () => {
    out.stop();
    halfFrame.stop();
    unread.stop();
  });
  return {
    lastUsed: () => lastUsed,
    cut: () => socket.destroy(),
  };
}

/** A one-shot timer; starting it while it runs changes nothing. */
function deadline(limitMs: number, expired: () => void): { start(): void; stop(): void } {
  let timer: NodeJS.Timeout | undefined;
  return {
    start: () => {
      timer ??= setTimeout(expired, limitMs);
    },
    stop: () => {
      clearTimeout(timer);
      timer = undefined;
    },
  };
}
