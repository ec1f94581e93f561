/**
 * What leaves through one socket or port: sound replies at once, disturbed answers part by part, each at its
 * time.
 *
 * A frame that has begun is finished before anything else goes out: bytes of another one between its own
 * would spoil both, and that fault was not asked for.
 */
import type { Emission } from '../../src/modbus/index.ts';

/** Calls after so much bench time; the returned function takes it back. */
export type After = (ms: number, call: () => void) => () => void;

export const inRealTime: After = (ms, call) => {
  const timer = setTimeout(call, ms);
  return () => {
    clearTimeout(timer);
  };
};

export interface Outlet {
  readonly reply: (bytes: Uint8Array) => void;
  readonly emit: (emission: Emission) => void;
  /** Somebody else talks now: of a frame that has begun, nothing more goes out. */
  readonly breakOff: () => void;
  /** Nothing more goes out. */
  readonly stop: () => void;
}

interface Piece {
  readonly of: object;
  readonly bytes: Uint8Array;
  /** The last of its frames. */
  readonly last: boolean;
}

/**
 * Answers that one connection may have under way; one more is lost. MB-TCP counts 1 to 16 transactions a
 * device, and a client that asks on without hearing must not make us hold ever more.
 */
const UNDER_WAY_MAX = 16;

export function outlet(after: After, write: (bytes: Uint8Array) => void, hangUp: () => void): Outlet {
  const timers = new Set<() => void>();
  const waiting: Piece[] = [];
  const brokenOff = new WeakSet<object>();
  let begun: object | null = null;
  let underWay = 0;

  const flush = (): void => {
    for (;;) {
      const at = waiting.findIndex((piece) => begun === null || piece.of === begun);
      const [piece] = at < 0 ? [] : waiting.splice(at, 1);
      if (piece === undefined) return;
      begun = piece.last ? null : piece.of;
      write(piece.bytes);
    }
  };
  const later = (ms: number, call: () => void): void => {
    if (ms <= 0) {
      call();
      return;
    }
    const cancel = after(ms, () => {
      timers.delete(cancel);
      call();
    });
    timers.add(cancel);
  };

  return {
    reply(bytes) {
      if (begun === null) write(bytes);
      else if (waiting.length < UNDER_WAY_MAX) waiting.push({ of: bytes, bytes, last: true });
    },
    emit({ parts, hangsUp }) {
      if (underWay >= UNDER_WAY_MAX) return;
      underWay += 1;
      const of = {};
      parts.forEach(({ afterMs, bytes }, index) => {
        const last = index === parts.length - 1;
        later(afterMs, () => {
          if (brokenOff.has(of)) return;
          waiting.push({ of, bytes, last });
          flush();
        });
      });
      later(parts.at(-1)?.afterMs ?? 0, () => {
        underWay -= 1;
        if (hangsUp) hangUp();
      });
    },
    breakOff() {
      if (begun === null) return;
      brokenOff.add(begun);
      begun = null;
      flush();
    },
    stop() {
      for (const cancel of timers) cancel();
      timers.clear();
      waiting.length = 0;
    },
  };
}
