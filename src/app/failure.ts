/**
 * An error that nobody expected, anywhere in the process: whatever commands then is not to be trusted.
 *
 * The first one counts. Who commands equipment is told at once, so that it can leave it safe; the command
 * then closes what it can and ends with a code of its own, and after END_MS_MAX at the latest the process is
 * gone. The next start finds no orderly stop on record, and begins in the hold.
 */
import type { Logger } from 'pino';
import { EXIT } from './stop.ts';

const END_MS_MAX = 4000;

export class Failure {
  /** Rejects with the first error. */
  readonly happened: Promise<never>;
  /** Told of the first error, at once. */
  atOnce: (error: unknown) => unknown = () => undefined;
  #reject: (error: unknown) => void = () => undefined;
  #isOver = false;
  readonly #log: Logger;

  constructor(log: Logger) {
    this.#log = log;
    this.happened = new Promise((_, reject) => {
      this.#reject = reject;
    });
    // Nobody waits for it while the bench starts; it is no second error then.
    this.happened.catch(() => undefined);
  }

  get isOver(): boolean {
    return this.#isOver;
  }

  /** From now on nothing that is thrown in this process goes unseen. */
  watch(): void {
    process.on('uncaughtException', this.raise);
    process.on('unhandledRejection', this.raise);
  }

  readonly raise = (error: unknown): void => {
    this.#log.fatal({ err: error }, 'an unexpected error: the bench ends');
    if (this.#isOver) return;
    this.#isOver = true;
    setTimeout(() => process.exit(EXIT.failed), END_MS_MAX).unref();
    this.atOnce(error);
    this.#reject(error);
  };
}
