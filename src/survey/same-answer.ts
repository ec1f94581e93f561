/**
 * Whether whoever listens looks at the unit id at all. A server that does not answers for every unit alike,
 * and a survey would find 247 devices that do not exist (MODBUS Messaging on TCP/IP V1.0b lets a server that
 * is asked directly ignore it).
 */
import { unitId } from '../units/index.ts';
import { type Asking, askSteadily } from './asking.ts';
import { PROBE } from './look.ts';

/** So many addresses that nobody planned, all alike, are no coincidence. */
const PROBES = 4;

/** Far from each other and from where people begin to count. */
const UNLIKELY: readonly number[] = [247, 173, 111, 67, 239, 151, 101, 59];

/** True where all of them answered, and the same. The first that is silent, or differs, settles it. */
export function* answersAlike(isPlanned: (unit: number) => boolean): Asking<boolean> {
  const units = UNLIKELY.filter((unit) => !isPlanned(unit)).slice(0, PROBES);
  let first: string | null = null;
  for (const unit of units) {
    const steady = yield* askSteadily(unitId(unit), PROBE);
    // A gateway's own words say nothing of the units behind it.
    if (steady.kind !== 'answered' && steady.kind !== 'refused') return false;
    const said = steady.kind === 'refused' ? `exception ${steady.exception}` : valuesOf(steady.response);
    first ??= said;
    if (said !== first) return false;
  }
  return units.length === PROBES;
}

function valuesOf(response: { readonly kind: string; readonly values?: Uint16Array }): string {
  return `${response.kind} ${response.values?.join(' ') ?? ''}`;
}
