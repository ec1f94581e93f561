/**
 * Bench time on a live host: monotonic, at a speed, and able to stand still.
 *
 * Built on performance.now(), so that setting the wall clock moves nothing. Everything live takes its time
 * and its timers from one such clock; time-outs and polls shrink with its speed.
 */
import { performance } from 'node:perf_hooks';
import { type Ms, ms } from '../units/index.ts';

export const SPEED_MIN = 1;
export const SPEED_MAX = 20;

export interface BenchClock {
  now(): Ms;
  speed(): number;
  paused(): boolean;
  /** Throws RangeError outside SPEED_MIN to SPEED_MAX. */
  set(change: { readonly speed?: number | undefined; readonly paused?: boolean | undefined }): void;
  /** Calls once bench time has reached `atMs`; the returned function takes it back. */
  at(atMs: Ms, call: () => void): () => void;
  /** Real milliseconds that a span of bench time takes at this speed. */
  toReal(spanMs: number): number;
  stop(): void;
}

interface Waiting {
  readonly atMs: Ms;
  readonly call: () => void;
}

/** setTimeout takes at most a 32-bit count of milliseconds; longer waits are taken in parts. */
const REAL_WAIT_MS_MAX = 0x7fffffff;

export function benchClock(startSpeed: number): BenchClock {
  let speed = checkedSpeed(startSpeed);
  let paused = false;
  let anchorReal = performance.now();
  let anchorMs = 0;
  let timer: NodeJS.Timeout | undefined;
  const waiting = new Set<Waiting>();

  const now = (): Ms =>
    ms(paused ? anchorMs : Math.floor(anchorMs + (performance.now() - anchorReal) * speed));
  const arm = (): void => {
    clearTimeout(timer);
    timer = undefined;
    if (paused || waiting.size === 0) return;
    const nextMs = Math.min(...[...waiting].map((one) => one.atMs));
    const realMs = Math.min(Math.max(0, (nextMs - now()) / speed), REAL_WAIT_MS_MAX);
    timer = setTimeout(fire, realMs);
  };
  const fire = (): void => {
    const nowMs = now();
    const due = [...waiting].filter((one) => one.atMs <= nowMs).sort((a, b) => a.atMs - b.atMs);
    for (const one of due) if (waiting.delete(one)) one.call();
    arm();
  };

  return {
    now,
    speed: () => speed,
    paused: () => paused,
    set(change) {
      const next = checkedSpeed(change.speed ?? speed);
      anchorMs = now();
      anchorReal = performance.now();
      speed = next;
      paused = change.paused ?? paused;
      arm();
    },
    at(atMs, call) {
      const one = { atMs, call };
      waiting.add(one);
      arm();
      return () => {
        if (waiting.delete(one)) arm();
      };
    },
    toReal: (spanMs) => spanMs / speed,
    stop() {
      waiting.clear();
      clearTimeout(timer);
    },
  };
}

function checkedSpeed(speed: number): number {
  if (speed >= SPEED_MIN && speed <= SPEED_MAX) return speed;
  throw new RangeError(`speed takes ${SPEED_MIN} to ${SPEED_MAX}, not ${speed}`);
}
