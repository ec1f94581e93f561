/** Stations of the ring to point at, as when the cause of a lesson is told. */
import { type ReadonlySignal, signal } from '@preact/signals';
import type { StationId } from '../texts/index.ts';

export interface Lights {
  readonly lit: ReadonlySignal<ReadonlySet<StationId>>;
  /** These and no others; none puts the lights out. */
  readonly light: (stations: Iterable<StationId>) => void;
}

export function createLights(): Lights {
  const lit = signal<ReadonlySet<StationId>>(new Set());
  return {
    lit,
    light: (stations) => {
      lit.value = new Set(stations);
    },
  };
}
