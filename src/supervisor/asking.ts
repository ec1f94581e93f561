/**
 * The requests of a task, asked one after the other, the same live and in virtual time.
 *
 * A read ends with the first that is not answered: half of an answer is none. A write asks on, because each
 * of its requests commands something else: a module that refuses the fan may still stop the compressors. In
 * both the first that is not answered is the outcome of all.
 */
import type { Outcome } from '../poll/index.ts';
import type { Addressed } from './plan.ts';
import type { Words } from './understand.ts';

export class Asking {
  readonly #requests: readonly Addressed[];
  readonly #answers: ArrayLike<number>[] = [];
  #asked = 0;
  #failed: Exclude<Outcome<never>, { kind: 'answered' }> | null = null;

  constructor(requests: readonly Addressed[]) {
    this.#requests = requests;
  }

  /** What is asked next; undefined where nothing is left to ask. */
  get next(): Addressed | undefined {
    const next = this.#requests[this.#asked];
    return this.#failed !== null && next?.request.kind === 'read' ? undefined : next;
  }

  heard(outcome: Outcome<ArrayLike<number>>): void {
    this.#asked += 1;
    if (outcome.kind === 'answered') this.#answers.push(outcome.answer);
    else this.#failed ??= outcome;
  }

  get outcome(): Outcome<Words> {
    return this.#failed ?? { kind: 'answered', answer: this.#answers };
  }
}
