/**
 * How long this process was held up. At a speed a second of the machine is many of the bench, and whatever
 * came late then may be the machine's doing and nobody's fault.
 */
import { monitorEventLoopDelay } from 'node:perf_hooks';
import type { BenchClock } from '../clock/index.ts';
import type { Rig } from '../rig/index.ts';
import type { Tell } from './teller.ts';

/** Of bench time, of a drill that is judged: a poll of the usual period was missed by then. */
const JUDGED_FROM_MS = 1000;
const NS_PER_MS = 1e6;
const RESOLUTION_MS = 10;
/** Real time between two looks: a machine that is always late is told so twice in ten seconds at most. */
const LOOK_EVERY_MS = 5000;

export class HeldUp {
  readonly #delays = monitorEventLoopDelay({ resolution: RESOLUTION_MS });

  begin(): void {
    this.#delays.reset();
    this.#delays.enable();
  }

  /** The longest delay since it began, real ms. */
  get longestMs(): number {
    return Math.max(0, this.#delays.max / NS_PER_MS - RESOLUTION_MS);
  }

  /** A sentence at a speed of the clock, or null where nothing was late by much. */
  end(speed: number): string | null {
    this.#delays.disable();
    const benchMs = this.longestMs * speed;
    if (benchMs < JUDGED_FROM_MS) return null;
    const seconds = (benchMs / 1000).toFixed(1);
    return (
      `this machine was held up for ${seconds} s of bench time at speed ${speed}: ` +
      'what was late then may be its doing and not the controller’s; play the drill more slowly'
    );
  }
}

/** Tells of every delay that is half of what makes a sensor silent, or drops the outputs; call to end it. */
export function tellHeldUp({ policy, fieldIo }: Rig, clock: BenchClock, tell: Tell): () => void {
  const fromMs = Math.min(policy.silentAfterMs, fieldIo.watchdogMs) / 2;
  const machine = new HeldUp();
  machine.begin();
  const timer = setInterval(() => {
    const realMs = machine.longestMs;
    machine.begin();
    const benchMs = realMs * clock.speed();
    if (clock.paused() || benchMs < fromMs) return;
    const fields = { realMs: Math.round(realMs), benchMs: Math.round(benchMs) };
    tell([{ id: 'computer.stalled', atMs: clock.now(), fields }]);
  }, LOOK_EVERY_MS);
  timer.unref();
  return () => {
    clearInterval(timer);
  };
}
