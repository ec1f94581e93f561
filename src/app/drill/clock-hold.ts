/**
 * Bench time stands still until all are there that a drill begins with: a slow start is not judged. The one
 * change of the clock without a fact of its own: to whoever reads the record, no time has passed.
 */
import type { BenchClock } from '../../clock/index.ts';

export class ClockHold<Name extends string> {
  readonly #clock: BenchClock;
  readonly #missing: Set<Name>;

  /** A clock that stands still already is left to whoever stopped it. */
  constructor(clock: BenchClock, missing: readonly Name[]) {
    this.#clock = clock;
    this.#missing = new Set(clock.paused() ? [] : missing);
    if (this.#missing.size > 0) clock.set({ paused: true });
  }

  there(name: Name): void {
    if (this.#missing.delete(name) && this.#missing.size === 0) this.#clock.set({ paused: false });
  }

  /** Nobody is waited for any longer. */
  end(): void {
    for (const name of this.#missing) this.there(name);
  }

  /** Somebody else has set the clock: it is theirs. */
  leave(): void {
    this.#missing.clear();
  }
}
