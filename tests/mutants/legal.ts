/** Controllers that are different and keep every rule. */
import type { Commands } from '../../sim/controllers/index.ts';
import { type Change, policy, type Variant } from './variant.ts';

const MINUTE = 60_000;

/** Lights both lamps at everything, and keeps them on for five minutes after. */
const lampsLonger: Variant = () => {
  let litMs = Number.NEGATIVE_INFINITY;
  return {
    commands(given, { t }) {
      if (given.alarm || given.trouble) litMs = t;
      const lit = t - litMs < 5 * MINUTE;
      return { ...given, alarm: lit, trouble: lit };
    },
  };
};

/** Compressor b starts half a minute after compressor a, and stops with it. */
const staged: Variant = () => {
  let sinceMs: number | null = null;
  return {
    commands(given, { t }) {
      sinceMs = given.compressors['a'] === true ? (sinceMs ?? t) : null;
      const b = given.compressors['b'] === true && sinceMs !== null && t - sinceMs >= 30_000;
      return { ...given, compressors: { ...given.compressors, b } };
    },
  };
};

/** Looks and decides every third cycle, and repeats itself in between. */
const everyThird: Variant = () => {
  let cycles = 0;
  let last: Commands | null = null;
  let seen: Parameters<NonNullable<Change['sees']>>[0] | null = null;
  return {
    sees(cycle) {
      if (seen === null || cycles % 3 === 0) seen = cycle;
      cycles += 1;
      return seen;
    },
    commands(given) {
      if (last === null || cycles % 3 === 1) last = given;
      return last;
    },
  };
};

export const LEGAL: ReadonlyMap<string, Variant> = new Map<string, Variant>([
  [
    'runs its fan always',
    () => ({ commands: (given, { fire }) => ({ ...given, fan: !fire, damper: !fire }) }),
  ],
  ['holds for nine minutes', () => policy({ holdMs: 9 * MINUTE })],
  ['trips at the clearing level', () => policy({ setpointPercentLfl: 18 })],
  ['lights both lamps at everything, and for five minutes more', lampsLonger],
  ['stages its compressors', staged],
  ['looks every three seconds', everyThird],
]);
