/**
 * What the built-in supervisor finds on record after a power cut, in virtual time: the same questions and
 * answers as of a record on disk, with bench time for the wall clock. A run of its own begins empty.
 */
import {
  type CloudEvent,
  type EventId,
  type Fact,
  FOR_A_START,
  toCloudEvent,
  typeOf,
} from '../../events/index.ts';
import type { PowerUp } from '../../mitigation/index.ts';
import type { Policy } from '../../rig/index.ts';
import type { Ms } from '../../units/index.ts';
import { powerUpFrom } from '../power-up.ts';

export class Memory {
  readonly #events: CloudEvent[] = [];
  readonly #rigName: string;

  constructor(rigName: string) {
    this.#rigName = rigName;
  }

  keep(facts: readonly Fact[]): void {
    for (const fact of facts) {
      // Nothing else is asked for.
      if (!FOR_A_START.includes(fact.id)) continue;
      this.#events.push(toCloudEvent(fact, this.#events.length + 1, fact.atMs, this.#rigName, 'virtual'));
    }
  }

  powerUp(policy: Policy, now: Ms): PowerUp {
    return powerUpFrom(this.#asRecord(), policy, now);
  }

  #asRecord(): Parameters<typeof powerUpFrom>[0] {
    const readBack = (ids: readonly EventId[], before: number, limit: number): readonly CloudEvent[] => {
      const types = ids.map(typeOf);
      const found = this.#events.filter(({ type, sequence }) => sequence < before && types.includes(type));
      return found.reverse().slice(0, limit);
    };
    return {
      lastSequence: () => this.#events.length,
      readBack,
      latest: (ids) => readBack(ids, Number.MAX_SAFE_INTEGER, 1)[0],
    };
  }
}
