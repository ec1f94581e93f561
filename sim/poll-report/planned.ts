/** Who is planned at which address of which line, and what it keeps where. */
import { RTU_OVERHEAD_BYTES, serialTimes } from '../../src/modbus/index.ts';
import {
  COILS,
  COMPRESSOR_COIL_FIRST,
  INPUTS,
  IO_REGISTERS,
  type Line,
  type ModbusSensor,
  type Rig,
  RUNNING_INPUT_FIRST,
} from '../../src/rig/index.ts';
import { POINT_KINDS, type PointName, type Table, wordsOf } from '../../src/sensor/index.ts';

export const FIELD_IO = 'the field I/O';

/** A value of a device: what it is called, where it begins, how many registers or bits it takes. */
export interface Place {
  readonly name: string;
  readonly table: Table;
  readonly address: number;
  readonly length: number;
  /** A number of 32 bits: half of it is no number at all. */
  readonly isWide: boolean;
}

export interface Planned {
  readonly line: string;
  readonly unitId: number;
  /** Sensor id, or FIELD_IO. */
  readonly who: string;
  readonly kind: 'sensor' | 'fieldIo';
  /** What it says; not what it can be told. */
  readonly places: readonly Place[];
  readonly sensor: ModbusSensor | null;
}

/** What a line's tally needs to know beforehand. */
export interface LinePlan {
  readonly id: string;
  readonly planned: readonly Planned[];
  readonly askWithinMs: number;
  /** The longest that a unit may go unread: `unreadLimitMs`. */
  readonly limitMs: number;
  /** Of the line as a whole, where commands feed a watchdog as well. */
  readonly pauseMs: number;
  /** How long the line's own wire needs for a PDU of so many bytes, beyond what the world tells. */
  readonly sendMs: (pduBytes: number) => number;
}

/** Who goes unread for longer breaks a limit of the rig, be it once. */
export function unreadLimitMs({ policy }: Rig): number {
  return Math.min(policy.askWithinMs, policy.respondWithinMs);
}

export function linePlans(rig: Rig): readonly LinePlan[] {
  const planned = plannedOf(rig);
  const { askWithinMs } = rig.policy;
  const limitMs = unreadLimitMs(rig);
  return rig.lines.map((line) => ({
    id: line.id,
    planned: planned.filter((one) => one.line === line.id),
    askWithinMs,
    limitMs,
    pauseMs: line.id === rig.fieldIo.line ? Math.min(limitMs, rig.fieldIo.watchdogMs) : limitMs,
    sendMs: sendMsOf(line),
  }));
}

const US_PER_MS = 1000;

/** A serial port sends as fast as it is set; what goes into a socket is out. */
function sendMsOf({ listen }: Line): LinePlan['sendMs'] {
  const [first] = listen;
  if (first?.kind !== 'rtu') return () => 0;
  const { characterUs } = serialTimes(first);
  return (pduBytes) => ((RTU_OVERHEAD_BYTES + pduBytes) * characterUs) / US_PER_MS;
}

export function plannedOf(rig: Rig): readonly Planned[] {
  const { fieldIo } = rig;
  const sensors = rig.sensors.flatMap((sensor): Planned[] => {
    if (sensor.kind === 'contact') return [];
    const { line, unitId, id } = sensor;
    return [{ line, unitId, who: id, kind: 'sensor', places: placesOf(sensor), sensor }];
  });
  const io: Planned = {
    line: fieldIo.line,
    unitId: fieldIo.unitId,
    who: FIELD_IO,
    kind: 'fieldIo',
    places: placesOfFieldIo(rig),
    sensor: null,
  };
  return [...sensors, io];
}

/** Command coils by address, with what each commands. */
export function commandCoils({ circuits }: Pick<Rig, 'circuits'>): ReadonlyMap<number, string> {
  return new Map([
    ...Object.entries(COILS).map(([name, address]): [number, string] => [address, name]),
    ...circuits.map((circuit, index): [number, string] => [
      COMPRESSOR_COIL_FIRST + index,
      `compressor ${circuit}`,
    ]),
  ]);
}

const WIDE_WORDS = 2;

function placesOf({ codec }: ModbusSensor): readonly Place[] {
  return Object.entries(codec.profile.points).map(([name, point]) => ({
    name,
    table: point.table,
    address: point.address,
    length: wordsOf(point),
    isWide: POINT_KINDS[name as PointName] === 'number' && wordsOf(point) === WIDE_WORDS,
  }));
}

function placesOfFieldIo(rig: Rig): readonly Place[] {
  const one = (table: Table, name: string, address: number): Place => ({
    name,
    table,
    address,
    length: 1,
    isWide: false,
  });
  const contacts = rig.sensors.filter((sensor) => sensor.kind === 'contact');
  return [
    ...[...commandCoils(rig)].map(([address, name]) => one('coil', name, address)),
    ...Object.entries(INPUTS).map(([name, address]) => one('discrete', name, address)),
    ...contacts.map(({ id, input }) => one('discrete', id, input)),
    ...rig.circuits.map((circuit, index) =>
      one('discrete', `compressor ${circuit} running`, RUNNING_INPUT_FIRST + index),
    ),
    ...Object.entries(IO_REGISTERS).map(([name, address]) => one('input', name, address)),
  ];
}
