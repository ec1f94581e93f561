/**
 * How long this process was held up while a drill ran live. At a speed a second of the machine is many of the
 * bench, and whatever came late then may be the machine's doing and not the controller's.
 */
import { monitorEventLoopDelay } from 'node:perf_hooks';

/** Of bench time: a poll of the usual period was missed by then. */
const TOLD_FROM_MS = 1000;
const NS_PER_MS = 1e6;
const RESOLUTION_MS = 10;

export class HeldUp {
  readonly #delays = monitorEventLoopDelay({ resolution: RESOLUTION_MS });

  begin(): void {
    this.#delays.reset();
    this.#delays.enable();
  }

  /** A sentence at a speed of the clock, or null where nothing was late by much. */
  end(speed: number): string | null {
    this.#delays.disable();
    const benchMs = (this.#delays.max / NS_PER_MS - RESOLUTION_MS) * speed;
    if (benchMs < TOLD_FROM_MS) return null;
    const seconds = (benchMs / 1000).toFixed(1);
    return (
      `this machine was held up for ${seconds} s of bench time at speed ${speed}: ` +
      'what was late then may be its doing and not the controller’s; play the drill more slowly'
    );
  }
}
