/** Bench time on to the next event: as fast as the clock may, then it stands still at the speed of before. */
import { type BenchClock, SPEED_MAX } from '../clock/index.ts';
import { type CloudEvent, type Fact, typeOf } from '../events/index.ts';
import type { EventRecord } from '../record/index.ts';

export class Stepping {
  readonly #clock: BenchClock;
  readonly #record: EventRecord;
  #speedBefore: number | undefined;
  #unsubscribe: () => void = () => undefined;

  constructor(clock: BenchClock, record: EventRecord) {
    this.#clock = clock;
    this.#record = record;
  }

  get active(): boolean {
    return this.#speedBefore !== undefined;
  }

  /** What the speed will be again; undefined while it does not step. */
  get speedBefore(): number | undefined {
    return this.#speedBefore;
  }

  start(): void {
    if (this.active) return;
    const change = { speed: SPEED_MAX, paused: false };
    this.#record.append([clockChanged(this.#clock, change)]);
    const speedBefore = this.#clock.speed();
    this.#speedBefore = speedBefore;
    this.#clock.set(change);
    this.#unsubscribe = this.#record.subscribe((events) => {
      if (events.every(isNotWaitedFor)) return;
      this.#record.append([clockChanged(this.#clock, { speed: speedBefore, paused: true })]);
      this.giveUp();
      this.#clock.set({ paused: true });
    });
  }

  /** The speed is what it was before; the clock goes on. */
  giveUp(): void {
    if (this.#speedBefore === undefined) return;
    this.#unsubscribe();
    this.#clock.set({ speed: this.#speedBefore });
    this.#speedBefore = undefined;
  }
}

/** A point of a curve, or the clock being set: whoever sets it ends the stepping in person. */
function isNotWaitedFor({ type, data }: CloudEvent): boolean {
  return data.severity === 'trace' || type === typeOf('clock.changed');
}

/** As it will be with the change: what cannot be put on record is not done. */
export function clockChanged(
  clock: BenchClock,
  { speed = clock.speed(), paused = clock.paused() }: Parameters<BenchClock['set']>[0],
): Fact {
  return { id: 'clock.changed', atMs: clock.now(), fields: { speed, paused } };
}
