/** When a search ends before it is through: its time is over, somebody interrupts, nobody is left to work. */
import { untilInterrupted } from '../until-interrupted.ts';

export class Ending {
  readonly #beganMs = performance.now();
  readonly #forMs: number;
  readonly #ended = new AbortController();
  readonly #interrupted = new AbortController();
  readonly #timer: NodeJS.Timeout | undefined;
  #lost: string | null = null;

  /** `forMs`: Infinity where it takes what it takes. */
  constructor(forMs: number) {
    this.#forMs = forMs;
    void untilInterrupted().then(() => {
      this.#interrupted.abort();
      this.#ended.abort();
    });
    // For a search that waits: one at work asks `goOn`, since its own work may hold the timer up.
    this.#timer = Number.isFinite(forMs)
      ? setTimeout(() => {
          this.#ended.abort();
        }, forMs)
      : undefined;
  }

  get ended(): AbortSignal {
    return this.#ended.signal;
  }

  get interrupted(): AbortSignal {
    return this.#interrupted.signal;
  }

  /** Why the search could not go on; null where it could. */
  get lost(): string | null {
    return this.#lost;
  }

  /** Whether it ends before its time. */
  get early(): boolean {
    return this.#interrupted.signal.aborted || this.#lost !== null;
  }

  readonly seconds = (): number => (performance.now() - this.#beganMs) / 1000;

  readonly goOn = (): boolean =>
    !this.#ended.signal.aborted && performance.now() - this.#beganMs < this.#forMs;

  readonly lose = (reason: string): void => {
    this.#lost ??= reason;
    this.#ended.abort();
  };

  close(): void {
    clearTimeout(this.#timer);
  }
}
