/** The addresses of a line that are asked, and who is planned there. */
import { UNIT_MAX, UNIT_MIN } from '../modbus/index.ts';
import type { ModbusSensor, Rig } from '../rig/index.ts';
import type { SensorCodec } from '../sensor/index.ts';
import { type UnitId, unitId } from '../units/index.ts';

/** One address of one line. */
export interface Spot {
  readonly line: string;
  readonly unitId: UnitId;
  readonly planned: Planned;
}

/** Several sensors only where the rig allows shared addresses. */
export type Planned =
  | { readonly kind: 'nobody' }
  | { readonly kind: 'sensors'; readonly sensors: readonly [ModbusSensor, ...ModbusSensor[]] }
  | { readonly kind: 'fieldIo'; readonly circuits: number };

export function spotsOf(rig: Rig, line: string, units: readonly number[]): readonly Spot[] {
  return units.map((unit) => ({ line, unitId: unitId(unit), planned: plannedAt(rig, line, unit) }));
}

export function plannedAt(rig: Rig, line: string, unit: number): Planned {
  const { fieldIo } = rig;
  if (fieldIo.line === line && fieldIo.unitId === unit) {
    return { kind: 'fieldIo', circuits: rig.circuits.length };
  }
  const [first, ...others] = modbusSensors(rig).filter((one) => one.line === line && one.unitId === unit);
  return first === undefined ? { kind: 'nobody' } : { kind: 'sensors', sensors: [first, ...others] };
}

export function modbusSensors(rig: Rig): readonly ModbusSensor[] {
  return rig.sensors.filter((sensor): sensor is ModbusSensor => sensor.kind === 'modbus');
}

/** The profiles of the rig, then those others; the first of a name counts. */
export function knownCodecs(rig: Rig, others: readonly SensorCodec[]): readonly SensorCodec[] {
  const byName = new Map<string, SensorCodec>();
  for (const codec of [...modbusSensors(rig).map((sensor) => sensor.codec), ...others]) {
    if (!byName.has(codec.profile.name)) byName.set(codec.profile.name, codec);
  }
  return [...byName.values()];
}

/** "1-32,200" as addresses, rising and each once; a string in place of them says what is wrong. */
export function parseUnits(written: string): readonly number[] | string {
  const units = new Set<number>();
  for (const part of written.split(',')) {
    const [, from, to] = /^\s*(\d+)\s*(?:-\s*(\d+)\s*)?$/u.exec(part) ?? [];
    if (from === undefined) return `"${part.trim()}" is no address; write such as 1-32,200`;
    const [first, last] = [Number(from), Number(to ?? from)];
    const outside = [first, last].find((unit) => unit < UNIT_MIN || unit > UNIT_MAX);
    if (outside !== undefined) {
      return `${outside} is no address of a device; a line has ${UNIT_MIN} to ${UNIT_MAX} (0 is broadcast)`;
    }
    if (first > last) return `${first}-${last} runs backwards; write ${last}-${first}`;
    for (let unit = first; unit <= last; unit += 1) units.add(unit);
  }
  return [...units].sort((one, other) => one - other);
}

export function allUnits(): readonly number[] {
  return Array.from({ length: UNIT_MAX }, (_, index) => UNIT_MIN + index);
}
