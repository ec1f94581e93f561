/** An option that takes a time. */
import { parseQuantity } from '../units/index.ts';
import { EXIT, Stop } from './stop.ts';

/** Node's timers take no more than 2^31 - 1 ms. */
const DURATION_MS_MAX = 0x7fffffff;

/** In ms; null where none is given. */
export function durationOption(name: string, written: string | undefined): number | null {
  if (written === undefined) return null;
  const durationMs = parseQuantity(written, 'time');
  if (typeof durationMs !== 'number') throw new Stop(EXIT.usage, `${name} ${written}: ${durationMs.problem}`);
  if (durationMs > 0 && durationMs <= DURATION_MS_MAX) return durationMs;
  throw new Stop(EXIT.usage, `${name} ${written}: it takes a time of up to 24 days, such as 60s`);
}
