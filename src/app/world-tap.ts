/**
 * Takes what is seen of the world into the record, many facts at a time: the world answers the wire first,
 * and its history follows within the same turn of the event loop.
 */
import type { Observation } from '../../sim/world/index.ts';
import type { Fact } from '../events/index.ts';
import { factsOf } from './bench-facts.ts';
import type { Tell } from './teller.ts';

export class WorldTap {
  readonly #tell: Tell;
  readonly #power: (to: string, on: boolean) => void;
  #waiting: Fact[] = [];

  constructor(tell: Tell, power: (to: string, on: boolean) => void) {
    this.#tell = tell;
    this.#power = power;
  }

  readonly observe = (seen: Observation): void => {
    const facts = factsOf(seen);
    if (facts.length === 0) return;
    if (this.#waiting.length === 0) setImmediate(this.flush);
    this.#waiting.push(...facts);
    if (seen.kind !== 'power') return;
    // The cause is on record before what follows from it.
    this.flush();
    this.#power(seen.to, seen.on);
  };

  readonly flush = (): void => {
    if (this.#waiting.length === 0) return;
    const facts = this.#waiting;
    this.#waiting = [];
    this.#tell(facts);
  };
}
