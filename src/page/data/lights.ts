/** What the bench view is to point at when it opens next, as when the cause of a lesson is told. */
import { type ReadonlySignal, type Signal, signal } from '@preact/signals';
import type { StationId } from '../texts/index.ts';

export interface Lights {
  readonly lit: ReadonlySignal<ReadonlySet<StationId>>;
  /** These and no others; none puts the lights out. */
  readonly light: (stations: Iterable<StationId>) => void;
  /** The timeline that opens next shows what came since; null for its usual stretch. */
  readonly opensSinceMs: Signal<number | null>;
}

export function createLights(): Lights {
  const lit = signal<ReadonlySet<StationId>>(new Set());
  return {
    lit,
    light: (stations) => {
      lit.value = new Set(stations);
    },
    opensSinceMs: signal<number | null>(null),
  };
}
