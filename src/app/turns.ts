/** One after the other, however many ask at once; one that fails does not hold up the next. */
export class Turns {
  #last: Promise<unknown> = Promise.resolve();

  take<Result>(work: () => Promise<Result>): Promise<Result> {
    const done = this.#last.then(work);
    this.#last = done.catch(() => undefined);
    return done;
  }

  /** Once all that was asked for is done, and what that asked for at its end. */
  async over(): Promise<void> {
    for (let last: unknown; last !== this.#last; ) {
      last = this.#last;
      await last;
    }
  }
}
