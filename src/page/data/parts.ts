/**
 * The parts of a rig that something can be done to, and which faults belong to each. A fault of a line's
 * device sits on its wire where the field I/O can have it too, and a contact's where only a contact can.
 */
import type { FaultKind, RigView, Snapshot, StandingFault } from '../types.ts';

/** Where on the chain a fault of a part is found. */
export type Place = 'part' | 'wire';

/** Names the panel of a part's faults among all panels. */
export function faultsId(part: string, place: Place): string {
  return `faults ${place} ${part}`;
}

/** What a part is called in the `targets` of a fault; the name itself where it is one of a kind. */
function targetOf(rig: RigView, part: string): string {
  const sensor = rig.sensors.find(({ id }) => id === part);
  if (sensor !== undefined) return sensor.kind === 'modbus' ? 'sensor' : 'contact';
  return /^(compressor|output)\./u.exec(part)?.[1] ?? part;
}

export function faultsAt(rig: RigView, part: string, place: Place): readonly FaultKind[] {
  const target = targetOf(rig, part);
  return rig.faultKinds.filter(
    (fault) => fault.targets.includes(target) && (placeOf(fault.targets) === place || target === 'fieldIo'),
  );
}

function placeOf(targets: readonly string[]): Place {
  const isOfLine = targets.includes('sensor') && targets.includes('fieldIo');
  return isOfLine || targets.every((target) => target === 'contact') ? 'wire' : 'part';
}

/** The faults that stand in a part now, of those that belong at this place. */
export function standingAt(
  rig: RigView,
  { world }: Pick<Snapshot, 'world'>,
  part: string,
  place: Place,
): readonly StandingFault[] {
  const kinds = new Set(faultsAt(rig, part, place).map(({ kind }) => kind));
  const standing = world?.sensors[part]?.faults ?? world?.equipmentFaults[part] ?? [];
  return standing.filter(({ kind }) => kinds.has(kind));
}
