/**
 * One accepted socket: hands its bytes to a dialogue, sends the replies, and ends clients that overdo it.
 *
 * Back-pressure: while a reply is not yet taken by the peer nothing more is read, so at most one chunk's
 * replies wait here. Timers run only while something is owed; an ordinary exchange touches none.
 */
import type { Socket } from 'node:net';
import type { Dialogue, SendLater, Taken } from './dialogue.ts';
import type { FaceLimits } from './face-limits.ts';
import { lull } from './lull.ts';
import { type After, outlet } from './outlet.ts';

/** Connections that a limit ended, by limit. */
export interface Cutoffs {
  halfFrames: number;
  unread: number;
}

export interface Connection {
  /** Goes up with every frame: says which connection is unused for longest. */
  lastUsed(): number;
  /** At least one frame has come whole. */
  isProven(): boolean;
  cut(): void;
}

export interface ConnectionOptions {
  /** A dialogue of its own; what it has to say later goes to the function given. */
  readonly dialogue: (sendLater: SendLater) => Dialogue;
  readonly limits: FaceLimits;
  readonly cutoffs: Cutoffs;
  /** Counts the uses of the face. */
  readonly nextUse: () => number;
  /** Times disturbed answers. */
  readonly after: After;
}

/** Wires the socket up, to live until either side ends it. */
export function converse(socket: Socket, options: ConnectionOptions): Connection {
  const { nextUse, after } = options;
  let lastUsed = nextUse();
  let proven = false;
  let begun = false;

  const write = (bytes: Uint8Array): void => {
    // What was due after the end of the connection is nobody's.
    if (!socket.writable) return;
    // False means that the system did not take all of it at once: the peer reads more slowly than it asks.
    if (socket.write(bytes)) return;
    socket.pause();
    owed.unread.start();
    // Not reading is our doing now: the frame's time begins again when we go on.
    owed.noFrame();
  };
  // What is owed still goes out, unless the peer does not take it.
  const hangUp = (): void => {
    owed.unread.start();
    socket.destroySoon();
  };
  const out = outlet(after, write, hangUp);
  const dialogue = options.dialogue(out.emit);
  const { silence } = dialogue;
  const heed = ({ reply, emissions, completed, halfFrame, lost }: Taken): void => {
    if (completed) {
      lastUsed = nextUse();
      proven = true;
    }
    begun = halfFrame;
    // A new frame gets its own time; the rest of an old one gets none, or it could dribble in for ever.
    if (completed || !begun) owed.noFrame();
    if (begun) owed.restOfFrame();
    // In RTU frames a device hears the next request of its master, and gives up what it still has to say.
    if (completed && silence !== undefined) out.breakOff();
    if (reply !== undefined) out.reply(reply);
    for (const emission of emissions) out.emit(emission);
    if (lost) hangUp();
  };
  const owed = waits(
    socket,
    options,
    silence &&
      (() => {
        heed(silence());
      }),
  );

  socket.on('data', (chunk) => {
    heed(dialogue.take(chunk));
  });
  socket.on('drain', () => {
    owed.unread.stop();
    if (begun) owed.restOfFrame();
    socket.resume();
  });
  // A peer that resets its connection is no trouble of the bench; 'close' follows.
  socket.on('error', () => undefined);
  socket.on('close', () => {
    dialogue.end();
    out.stop();
    owed.noFrame();
    owed.unread.stop();
  });
  return {
    lastUsed: () => lastUsed,
    isProven: () => proven,
    cut: () => socket.destroy(),
  };
}

/** The time that the other side has for what it owes; `silent` is told of quiet inside a frame. */
function waits(socket: Socket, { limits, cutoffs }: ConnectionOptions, silent: (() => void) | undefined) {
  const cutAfter = (limitMs: number, counter: keyof Cutoffs): Deadline =>
    deadline(limitMs, () => {
      cutoffs[counter] += 1;
      socket.destroy();
    });
  const halfFrame = cutAfter(limits.halfFrameMs, 'halfFrames');
  const quiet = silent && lull(limits.quietMs, silent);
  return {
    unread: cutAfter(limits.unreadMs, 'unread'),
    restOfFrame(): void {
      halfFrame.start();
      quiet?.restart();
    },
    noFrame(): void {
      halfFrame.stop();
      quiet?.stop();
    },
  };
}

interface Deadline {
  start(): void;
  stop(): void;
}

/** A one-shot timer; starting it while it runs changes nothing. */
function deadline(limitMs: number, expired: () => void): Deadline {
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
