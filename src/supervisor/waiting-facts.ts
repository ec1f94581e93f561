/**
 * Facts on their way to the record, in their order; while that takes nothing they wait here, within a limit.
 *
 * Curves go first, then what else a start can do without; what a start asks for is never let go. The record
 * is told how many are missing.
 */
import { CATALOGUE, type Fact, FOR_A_START, factsLost } from '../events/index.ts';

/** Minutes of a rig with a hundred sensors. */
export const WAITING_MAX = 10_000;
/** A record that takes nothing is tried time and again: no try may hold the polls up. */
export const BATCH_FACTS = 500;

export class WaitingFacts {
  #facts: Fact[] = [];
  #lost = 0;

  get count(): number {
    return this.#facts.length;
  }

  add(...facts: readonly Fact[]): void {
    this.#facts.push(...facts);
  }

  /** The newest is unsaid. */
  takeBack(): void {
    this.#facts.pop();
  }

  /** Throws what `store` throws; whatever was stored until then waits no longer. */
  tell(store: (facts: readonly Fact[]) => void): void {
    for (;;) {
      const batch = this.#facts.slice(0, BATCH_FACTS);
      const [first] = batch;
      if (first === undefined) return;
      store(this.#lost === 0 ? batch : [factsLost(this.#lost, first.atMs), ...batch]);
      this.#lost = 0;
      this.#facts = this.#facts.slice(batch.length);
    }
  }

  /** Lets the oldest go of those that matter least, down to the limit. */
  trim(): void {
    const before = this.#facts.length;
    for (const isDispensable of [isCurve, isNotForAStart]) {
      let surplus = this.#facts.length - WAITING_MAX;
      this.#facts = this.#facts.filter((fact) => {
        if (surplus <= 0 || !isDispensable(fact)) return true;
        surplus -= 1;
        return false;
      });
    }
    this.#lost += before - this.#facts.length;
  }
}

function isCurve({ id }: Fact): boolean {
  return CATALOGUE[id].severity === 'trace';
}

function isNotForAStart({ id }: Fact): boolean {
  return !FOR_A_START.includes(id);
}
