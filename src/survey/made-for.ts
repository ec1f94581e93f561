/** What a sensor is made for and where its points stand, against rig and profile. */
import type { ModbusSensor, Rig } from '../rig/index.ts';
import { OTHER_TABLE, TABLE_WORDS, wordsOf } from '../sensor/index.ts';
import { formatGas } from '../units/index.ts';
import type { Finding } from './finding.ts';
import type { Fit } from './fit.ts';

/** Points that stand elsewhere than the profile says. */
export function placeOfPoints(fit: Fit, { line, unitId, id, codec }: ModbusSensor): readonly Finding[] {
  const of = { line, unitId, sensor: id };
  const profile = codec.profile.name;
  if (fit.kind === 'shifted') return [{ kind: 'oneOff', ...of, by: fit.by, profile }];
  if (fit.kind !== 'otherTable') return [];
  const planned = [...new Set(codec.reads.map(({ table }) => table))];
  const words = (tables: readonly (typeof planned)[number][]): string =>
    tables.map((table) => TABLE_WORDS[table]).join(' and ');
  return [
    {
      kind: 'otherTable',
      ...of,
      seen: words(planned.map((table) => OTHER_TABLE[table])),
      planned: words(planned),
      profile,
    },
  ];
}

/** A rounding error of a conversion is no other setpoint. */
const DUST_PERCENT_LFL = 1e-6;
/** A float has no counts; sensors are set in tenths (common practice, no source). */
const FLOAT_STEP_PERCENT_LFL = 0.1;

export function madeFor(
  rig: Rig,
  fit: Exclude<Fit, { kind: 'none' }>,
  sensor: ModbusSensor,
): readonly Finding[] {
  const of = { line: sensor.line, unitId: sensor.unitId, sensor: sensor.id };
  const { refrigerant, setpointPercentLfl } = fit.answer;
  const { points } = sensor.codec.profile;
  const found: Finding[] = [];
  if (points.refrigerant !== undefined && refrigerant !== undefined) {
    const room = 2 * wordsOf(points.refrigerant);
    if (!isSameName(refrigerant, rig.refrigerant.name, room)) {
      found.push({ kind: 'otherRefrigerant', ...of, seen: refrigerant, planned: rig.refrigerant.name });
    }
  }
  if (points.setpointPercentLfl !== undefined && setpointPercentLfl !== undefined) {
    const { type, scale } = points.setpointPercentLfl;
    // It shows whole counts, and no fewer than one.
    const step = Math.max(type === 'f32' ? FLOAT_STEP_PERCENT_LFL : scale, FLOAT_STEP_PERCENT_LFL);
    const { setpoint } = rig.policy;
    if (Math.abs(setpointPercentLfl - setpoint) >= step + DUST_PERCENT_LFL) {
      const [seen, planned] = [formatGas(setpointPercentLfl), formatGas(setpoint)];
      found.push({ kind: 'otherSetpoint', ...of, seen, planned });
    }
  }
  return found;
}

/** "R-32" is "R32" and "r 32"; a name longer than its registers is cut off there. */
function isSameName(seen: string, planned: string, room: number): boolean {
  const bare = (name: string): string => name.toLowerCase().replace(/[^a-z0-9]/gu, '');
  return bare(seen) === bare(planned) || bare(seen) === bare(planned.slice(0, room));
}
