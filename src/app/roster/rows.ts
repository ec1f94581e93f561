/** The sensors of a rig as a service record: who is where, since when, what is due, what is on record. */
import type { CloudEvent } from '../../events/index.ts';
import type { Rig, Sensor } from '../../rig/index.ts';
import { ageDays, MS_PER_DAY, serviceDaysOf } from '../service-life.ts';
import { daysBetween } from './days.ts';
import { checkOf, type Due, lifeOf, type Since } from './due.ts';
import { type Alarm, type Past, pastOf, type Replacement, type SelfTest } from './past.ts';

export interface RosterRow {
  readonly sensor: string;
  readonly kind: Sensor['kind'];
  readonly place: string;
  /** null where the rig names none. */
  readonly part: string | null;
  /** null for a contact. */
  readonly profile: string | null;
  readonly serial: string | null;
  /** Line and unit id, or the input of the field I/O. */
  readonly address: string;
  readonly installed: string | null;
  readonly ageDays: number | null;
  readonly lifeDays: number;
  readonly checkEveryDays: number;
  readonly checked: string | null;
  readonly life: Due;
  readonly check: Due;
  /** Null: no record. A contact has none. */
  readonly selfTest: SelfTest | null;
  readonly alarm: Alarm | null;
  readonly replaced: Replacement | null;
  /** Where the rig file and the record do not agree, as sentences without their ends. */
  readonly differences: readonly string[];
}

/** `events` are those of this rig alone; `today` as YYYY-MM-DD. */
export function rosterRows(rig: Rig, events: readonly CloudEvent[], today: string): readonly RosterRow[] {
  return rig.sensors.map((sensor) => rowOf(sensor, pastOf(events, sensor.id), today));
}

function rowOf(sensor: Sensor, past: Past, today: string): RosterRow {
  const { id, kind, at, serial, service } = sensor;
  const since = sinceOf(sensor, past.replaced, today);
  return {
    sensor: id,
    kind,
    place: at,
    part: service.part,
    profile: sensor.kind === 'modbus' ? sensor.codec.profile.name : null,
    serial,
    address: addressOf(sensor),
    installed: installedOf(sensor, past.replaced),
    ageDays: since.ageDays,
    lifeDays: serviceDaysOf(sensor),
    checkEveryDays: Math.floor(service.checkEveryMs / MS_PER_DAY),
    checked: service.checked,
    life: lifeOf(sensor, since, today),
    check: checkOf(sensor, since, today),
    ...past,
    // That a contact was heard for the first time proves nothing of the part behind it.
    selfTest: kind === 'contact' ? null : past.selfTest,
    differences: differencesOf(sensor, past.replaced, today),
  };
}

export function addressOf(sensor: Sensor): string {
  return sensor.kind === 'modbus' ? `line ${sensor.line}, unit ${sensor.unitId}` : `input ${sensor.input}`;
}

/** Where rig file and record name a day each for one part, the earlier counts: older is the safe side. */
function installedOf({ installed, serial }: Sensor, replaced: Replacement | null): string | null {
  if (replaced?.serial !== serial) return installed;
  return installed === null || replaced.installed < installed ? replaced.installed : installed;
}

function sinceOf(sensor: Sensor, replaced: Replacement | null, today: string): Since {
  const day = installedOf(sensor, replaced);
  if (day !== null)
    return day > today ? { day: null, ageDays: null } : { day, ageDays: daysBetween(day, today) };
  const isTold = sensor.kind === 'modbus' && sensor.ageMs !== null;
  return { day: null, ageDays: isTold ? ageDays(sensor, null) : null };
}

function differencesOf(sensor: Sensor, replaced: Replacement | null, today: string): readonly string[] {
  const { serial, installed } = sensor;
  const day = installedOf(sensor, replaced);
  const other = replaced !== null && replaced.serial !== serial;
  return [
    ...(day !== null && day > today ? [`its installation is written for ${day}, which is to come`] : []),
    ...(other
      ? [
          `on record serial ${replaced.serial} took its place on ${replaced.time.slice(0, 10)}; the rig file ` +
            `says ${serial ?? 'no serial'}: read the label`,
        ]
      : []),
    ...(replaced?.serial === serial && installed !== null && installed !== replaced.installed
      ? [
          `installed ${installed} by the rig file, ${replaced.installed} by the record: the earlier day counts`,
        ]
      : []),
  ];
}
