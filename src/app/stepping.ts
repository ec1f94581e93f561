/** Bench time on to the next event: as fast as the clock may, then it stands still at the speed of before. */
import { type BenchClock, SPEED_MAX } from '../clock/index.ts';
import type { Fact } from '../events/index.ts';
import type { EventRecord } from '../record/index.ts';

export class Stepping {
  readonly #clock: BenchClock;
  readonly #record: EventRecord;
  /** null while it does not step. */
  #speedBefore: number | null = null;
  #unsubscribe: () => void = () => undefined;

  constructor(clock: BenchClock, record: EventRecord) {
    this.#clock = clock;
    this.#record = record;
  }

  get active(): boolean {
    return this.#speedBefore !== null;
  }

  start(): void {
    if (this.active) return;
    const change = { speed: SPEED_MAX, paused: false };
    // Told before anybody listens: this is not the event that is waited for.
    this.#record.append([clockChanged(this.#clock, change)]);
    this.#speedBefore = this.#clock.speed();
    this.#clock.set(change);
    this.#unsubscribe = this.#record.subscribe((events) => {
      if (events.every(({ data }) => data.severity === 'trace')) return;
      this.giveUp();
      this.#clock.set({ paused: true });
      this.#record.append([clockChanged(this.#clock, {})]);
    });
  }

  /** The speed is what it was before; the clock goes on. */
  giveUp(): void {
    if (this.#speedBefore === null) return;
    this.#unsubscribe();
    this.#clock.set({ speed: this.#speedBefore });
    this.#speedBefore = null;
  }
}

/** As it will be with the change: what cannot be put on record is not done. */
export function clockChanged(
  clock: BenchClock,
  { speed = clock.speed(), paused = clock.paused() }: Parameters<BenchClock['set']>[0],
): Fact {
  return { id: 'clock.changed', atMs: clock.now(), fields: { speed, paused } };
}
