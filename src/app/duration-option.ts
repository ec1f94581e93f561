/** An option that takes a time. */
import { parseQuantity } from '../units/index.ts';
import { EXIT, Stop } from './stop.ts';

/** Node's timers take no more than 2^31 - 1 ms. */
const DURATION_MS_MAX = 0x7fffffff;

/** In ms. */
export function durationOption(
  name: string,
  written: string,
  least: 'above zero' | 'zero' = 'above zero',
): number {
  // A time so near zero is told in milliseconds.
  if (least === 'zero' && /^\d+$/u.test(written))
    throw new Stop(EXIT.usage, `${name} ${written}: ${written} needs its unit, such as "${written} ms"`);
  const durationMs = parseQuantity(written, 'time');
  if (typeof durationMs !== 'number') throw new Stop(EXIT.usage, `${name} ${written}: ${durationMs.problem}`);
  const isLongEnough = least === 'zero' ? durationMs >= 0 : durationMs > 0;
  if (isLongEnough && durationMs <= DURATION_MS_MAX) return durationMs;
  throw new Stop(EXIT.usage, `${name} ${written}: it takes a time ${FROM[least]} 24 days, such as 60s`);
}

const FROM = { 'above zero': 'above zero, up to', zero: 'from zero to' } as const;
