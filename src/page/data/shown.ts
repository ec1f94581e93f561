/** The snapshot on show, how old it is, and bench time carried on from it. */
import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { Snapshot } from '../types.ts';

export interface Shown {
  readonly snapshot: ReadonlySignal<Snapshot | null>;
  readonly benchNowMs: ReadonlySignal<number>;
  /** Age of the values, once that is too old to take them for now; null while they are fresh. */
  readonly staleMs: ReadonlySignal<number | null>;
  readonly show: (snapshot: Snapshot) => void;
}

const TICK_MS = 250;
/** Bench time is carried on for this long without a new snapshot; then the clock stands: we know no more. */
const CARRIED_MS_MAX = 1500;
const STALE_AFTER_MS = 3000;

export function createShown(): Shown {
  const snapshot = signal<Snapshot | null>(null);
  const receivedMs = signal(0);
  const tickMs = signal(performance.now());
  setInterval(() => {
    tickMs.value = performance.now();
  }, TICK_MS);
  return {
    snapshot,
    benchNowMs: computed(() => {
      const value = snapshot.value;
      if (value === null) return 0;
      const ageMs = Math.max(0, tickMs.value - receivedMs.value);
      return value.nowMs + (value.paused ? 0 : Math.min(ageMs, CARRIED_MS_MAX) * value.speed);
    }),
    staleMs: computed(() => {
      const ageMs = tickMs.value - receivedMs.value;
      return snapshot.value !== null && ageMs > STALE_AFTER_MS ? ageMs : null;
    }),
    show: (value) => {
      receivedMs.value = performance.now();
      snapshot.value = value;
    },
  };
}
