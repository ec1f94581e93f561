/** Serials that are not where they were planned. */
import type { ModbusSensor, Rig } from '../rig/index.ts';
import type { Finding } from './finding.ts';
import type { Present, Seen } from './look.ts';
import { modbusSensors } from './spot.ts';

/** What somebody may be known by: the serial of its registers, or else its first private object. */
export function serialsOf({ serial, identity }: Present): readonly string[] {
  if (serial !== '') return [serial];
  return identity === null || identity.own === '' ? [] : [identity.own];
}

/** A serial that is not the planned one; of two that are exchanged the first tells it for both. */
export function otherSerial(
  rig: Rig,
  sensor: ModbusSensor,
  present: Present,
  sight: readonly Seen[],
  exchanged: Set<string>,
): readonly Finding[] {
  if (sensor.serial === null || exchanged.has(sensor.id)) return [];
  const serials = serialsOf(present);
  const tellsIt = sensor.codec.profile.points.serial !== undefined;
  if (serials.includes(sensor.serial) || (serials.length === 0 && !tellsIt)) return [];
  const [seen = ''] = serials;
  const of = { line: sensor.line, unitId: sensor.unitId, sensor: sensor.id };
  const owner = seen === '' ? undefined : modbusSensors(rig).find((one) => one.serial === seen);
  // A private object may hold anything: it counts only where it is a serial of this rig.
  if (owner === undefined && !tellsIt) return [];
  if (owner !== undefined && serialSeenAt(owner, sight).includes(sensor.serial)) {
    exchanged.add(owner.id);
    const other = { line: owner.line, unitId: owner.unitId, sensor: owner.id };
    return [{ kind: 'exchanged', ...of, serial: sensor.serial, with: other, otherSerial: seen }];
  }
  return [{ kind: 'otherSerial', ...of, seen, planned: sensor.serial, belongsTo: owner?.id ?? null }];
}

function serialSeenAt({ line, unitId }: ModbusSensor, sight: readonly Seen[]): readonly string[] {
  const seen = sight.find((one) => one.line === line && one.unitId === unitId);
  return seen?.found.kind === 'present' ? serialsOf(seen.found) : [];
}
