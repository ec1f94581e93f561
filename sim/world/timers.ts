/** What ends by itself: at most one timer a key, and the next moment at which one is due. */
import type { Ms } from '../../src/units/index.ts';

export class Timers {
  readonly #due = new Map<string, { readonly atMs: Ms; readonly call: (now: Ms) => void }>();

  /** Setting a key again replaces its timer, and its place among those that are due with it. */
  set(key: string, atMs: Ms, call: (now: Ms) => void): void {
    this.#due.delete(key);
    this.#due.set(key, { atMs, call });
  }

  clear(key: string): void {
    this.#due.delete(key);
  }

  /** Infinity where nothing is due. */
  nextMs(): number {
    let nextMs = Number.POSITIVE_INFINITY;
    for (const { atMs } of this.#due.values()) nextMs = Math.min(nextMs, atMs);
    return nextMs;
  }

  /** Calls whatever is due at `now`, in the order it was set. */
  run(now: Ms): void {
    for (const [key, { atMs, call }] of [...this.#due]) {
      if (atMs > now) continue;
      this.#due.delete(key);
      call(now);
    }
  }
}
