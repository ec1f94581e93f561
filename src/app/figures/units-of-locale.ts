/** SI or inch-pound where nobody said: by the locale, as POSIX looks it up. */
import type { UnitSystem } from '../../figures/index.ts';

/** The first that is set and not empty counts. */
const VARIABLES = ['LC_ALL', 'LC_MEASUREMENT', 'LANG'] as const;

export function unitsOfLocale(environment: Readonly<Record<string, string | undefined>>): UnitSystem {
  const locale = VARIABLES.map((name) => environment[name]).find(
    (value) => value !== undefined && value !== '',
  );
  return locale?.startsWith('en_US') === true ? 'ip' : 'si';
}
