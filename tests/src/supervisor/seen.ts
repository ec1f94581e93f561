/** What can be seen of a supervisor from outside, and what it means. */
import type { Says } from './tiny-rig.ts';

/** Commands as the field I/O took them. */
export interface Seen {
  readonly atMs: number;
  readonly fan: boolean;
  readonly damper: boolean;
  readonly heat: boolean;
  readonly alarm: boolean;
  readonly trouble: boolean;
  readonly compressors: readonly boolean[];
}

/** What a sensor said when it was asked. */
export interface Answered {
  readonly atMs: number;
  readonly says: Says;
}

export const mitigates = (seen: Seen): boolean => seen.fan && seen.damper && stopped(seen);
export const stopped = (seen: Seen): boolean => !seen.heat && seen.compressors.every((on) => !on);
export const serves = (seen: Seen): boolean => !stopped(seen);

export interface Stretch {
  readonly fromMs: number;
  readonly untilMs: number;
}

/** Something that is on or off, and remembers when. */
export class Switch {
  readonly #clock: { readonly nowMs: number };
  readonly #turns: { readonly atMs: number; readonly on: boolean }[];

  constructor(clock: { readonly nowMs: number }, on: boolean) {
    this.#clock = clock;
    this.#turns = [{ atMs: 0, on }];
  }

  get on(): boolean {
    return this.#turns.at(-1)?.on === true;
  }

  turn(on: boolean): void {
    if (on !== this.on) this.#turns.push({ atMs: this.#clock.nowMs, on });
  }

  stretches(on: boolean): readonly Stretch[] {
    return this.#turns.flatMap((turn, index) =>
      turn.on === on
        ? [{ fromMs: turn.atMs, untilMs: this.#turns[index + 1]?.atMs ?? this.#clock.nowMs }]
        : [],
    );
  }
}
