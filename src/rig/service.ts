/**
 * How long a sensor serves, and how often it is checked: what is published of it. A rig may say otherwise.
 *
 * "seen" was read in the text itself; "memory" is to be confirmed against a bought copy.
 */
import { ms } from '../units/index.ts';
import type { Sensor } from './rig.ts';

const MS_PER_DAY = 86_400_000;
const MS_PER_YEAR = 365.25 * MS_PER_DAY;

export const SERVICE_LIFE = { ms: ms(15 * MS_PER_YEAR), source: 'common practice, no source' } as const;

/** The longest first. Each allows a maker to ask for more. */
export const CHECK_INTERVALS = [
  {
    ms: ms(2 * MS_PER_YEAR),
    says: 'at least every 2 years, with reference gas at or above the setpoint; replaced as its maker states',
    source: 'RD 552/2019 IF-16 3.3 (seen)',
  },
  {
    ms: ms(MS_PER_YEAR),
    says: 'every year, or sooner where its maker says so',
    source: 'ANSI/ASHRAE 15; EN 378-4 (memory)',
  },
] as const;

/** The shortest that is published. */
const CHECK_EVERY_MS_DEFAULT = ms(Math.min(...CHECK_INTERVALS.map((interval) => interval.ms)));

/** A sensor of which nothing is told. */
export const UNTOLD: Pick<Sensor, 'serial' | 'installed' | 'service'> = {
  serial: null,
  installed: null,
  service: { part: null, lifeMs: SERVICE_LIFE.ms, checkEveryMs: CHECK_EVERY_MS_DEFAULT, checked: null },
};
