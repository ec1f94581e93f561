/**
 * What was seen against what was planned. Pure: the same sight and the same rig give the same findings.
 *
 * One cause is told once: a sensor that is missing because it sits at another address is found there, and not
 * as a stranger too; two that hold each other's address are one finding.
 */
import type { ModbusSensor, Rig } from '../rig/index.ts';
import type { Finding } from './finding.ts';
import type { Seen } from './look.ts';
import { madeFor, placeOfPoints } from './made-for.ts';
import { otherSerial } from './serials.ts';
import { Strangers } from './strangers.ts';
import { whoText } from './who.ts';

/** Findings in the order of the addresses that were seen. */
export function compare(rig: Rig, sight: readonly Seen[]): readonly Finding[] {
  const strangers = new Strangers(rig, sight);
  const exchanged = new Set<string>();
  const planned = sight.flatMap((seen) => plannedFindings(rig, seen, sight, strangers, exchanged));
  return [...planned, ...strangers.left()].sort(byAddress(sight));
}

/** As surveyed: line by line, and rising on each. */
function byAddress(sight: readonly Seen[]): (one: Finding, other: Finding) => number {
  const place = new Map(sight.map(({ line, unitId }, index) => [`${line} ${unitId}`, index]));
  const at = ({ line, unitId }: Finding): number => place.get(`${line} ${unitId}`) ?? 0;
  return (one, other) => at(one) - at(other);
}

function plannedFindings(
  rig: Rig,
  seen: Seen,
  sight: readonly Seen[],
  strangers: Strangers,
  exchanged: Set<string>,
): readonly Finding[] {
  const { planned, found } = seen;
  switch (planned.kind) {
    case 'nobody':
      return [];
    case 'fieldIo':
      return fieldIoFindings(seen, planned.circuits);
    case 'sensors':
      return planned.sensors.flatMap((sensor) =>
        found.kind === 'silent' || found.kind === 'noPath'
          ? [strangers.absence(sensor, found.kind === 'noPath')]
          : sensorFindings(rig, sensor, seen, sight, exchanged),
      );
  }
}

function fieldIoFindings({ line, unitId, found }: Seen, circuits: number): readonly Finding[] {
  const of = { line, unitId, sensor: 'the field I/O' };
  switch (found.kind) {
    case 'silent':
    case 'noPath':
      return [{ kind: 'missing', ...of, atFactory: null, noPath: found.kind === 'noPath' }];
    case 'garbled':
      return [{ kind: 'twoAtOne', ...of, how: found.how, atFactoryOf: [] }];
    case 'present': {
      if (found.fit?.kind !== 'none') return [];
      const who = `${whoText(found)}: ${found.fit.because}`;
      return [{ kind: 'unlike', ...of, who, profile: `with coils and inputs for ${circuits} circuit(s)` }];
    }
  }
}

/** Somebody answers at a planned address. */
function sensorFindings(
  rig: Rig,
  sensor: ModbusSensor,
  { line, unitId, found }: Seen,
  sight: readonly Seen[],
  exchanged: Set<string>,
): readonly Finding[] {
  const of = { line, unitId, sensor: sensor.id };
  if (found.kind === 'garbled') return [{ kind: 'twoAtOne', ...of, how: found.how, atFactoryOf: [] }];
  if (found.kind !== 'present' || found.fit === null) return [];
  const { fit } = found;
  const serial = otherSerial(rig, sensor, found, sight, exchanged);
  const profile = sensor.codec.profile.name;
  if (fit.kind === 'none' || fit.codec.profile.name !== profile) {
    const because = fit.kind === 'none' ? `: ${fit.because}` : '';
    const who = whoText(found) + because;
    return [{ kind: 'unlike', ...of, who, profile: `profile ${profile}` }, ...serial];
  }
  return [...placeOfPoints(fit, sensor), ...serial, ...madeFor(rig, fit, sensor)];
}
