/** The rig as the supervisor works with it: lines, requests and limits, worked out once. */
import type { BeliefLimits } from '../belief/index.ts';
import type { MitigationPolicy } from '../mitigation/index.ts';
import type { Framing, TableRequest } from '../modbus/index.ts';
import type { LinePlan, Task } from '../poll/index.ts';
import { COMPRESSOR_COIL_FIRST, framingOf, type ModbusSensor, type Rig, type Sensor } from '../rig/index.ts';
import { READ_FUNCTIONS } from '../sensor/index.ts';
import type { Ms, UnitId } from '../units/index.ts';
import { inputCount } from './field-io.ts';

/** A request and whom it goes to. */
export interface Addressed {
  readonly unitId: UnitId;
  readonly request: TableRequest;
}

export interface SupervisorPlan {
  readonly rigName: string;
  readonly lines: readonly (LinePlan & { readonly timeoutMs: Ms; readonly framing: Framing['kind'] })[];
  readonly sensors: readonly Sensor[];
  readonly circuits: readonly string[];
  readonly fieldIoUnit: UnitId;
  readonly limits: BeliefLimits;
  readonly policy: MitigationPolicy;
  /** What goes over the wire again and again. */
  readonly reads: {
    readonly inputs: readonly Addressed[];
    readonly readBack: readonly Addressed[];
    /** By sensor; empty for a contact. */
    readonly sensors: readonly (readonly Addressed[])[];
  };
  /** Writes that have gone out, by their coils: nearly every one is the one before over again. */
  readonly writes: WeakMap<readonly boolean[], readonly Addressed[]>;
}

export function planOf(rig: Rig): SupervisorPlan {
  const { policy } = rig;
  return {
    rigName: rig.name,
    lines: rig.lines.map((line) => ({
      id: line.id,
      pollEveryMs: line.pollEveryMs,
      timeoutMs: line.timeoutMs,
      framing: framingOf(line),
      retries: line.retries,
      sensors: rig.sensors.flatMap((sensor, index) =>
        sensor.kind === 'modbus' && sensor.line === line.id ? [index] : [],
      ),
      fieldIo: rig.fieldIo.line === line.id,
    })),
    sensors: rig.sensors,
    circuits: rig.circuits,
    fieldIoUnit: rig.fieldIo.unitId,
    limits: limitsOf(rig),
    policy: { ...policy, circuits: rig.circuits, heat: rig.heat },
    reads: readsOf(rig),
    writes: new WeakMap(),
  };
}

/** Nobody goes unheard for longer than the rig lets anybody go unasked, and the cycle in which he is. */
function limitsOf({ policy, lines }: Rig): BeliefLimits {
  const { setpoint, clearBelow, silentAfterMs, askWithinMs } = policy;
  const cycleMs = Math.max(...lines.map(({ pollEveryMs }) => pollEveryMs));
  const unheardAfterMs = (Math.max(silentAfterMs, askWithinMs) + cycleMs) as Ms;
  return { setpoint, clearBelow, silentAfterMs, unheardAfterMs };
}

function readsOf({ fieldIo: { unitId }, circuits, sensors }: Rig): SupervisorPlan['reads'] {
  const bits = (functionCode: 1 | 2, quantity: number): readonly Addressed[] => [
    { unitId, request: { kind: 'read', functionCode, address: 0, quantity } },
  ];
  return {
    inputs: bits(2, inputCount(circuits.length)),
    readBack: bits(1, COMPRESSOR_COIL_FIRST + circuits.length),
    sensors: sensors.map((sensor) =>
      sensor.kind === 'contact'
        ? []
        : sensor.codec.reads.map(({ table, address, quantity }) => ({
            unitId: sensor.unitId,
            request: { kind: 'read', functionCode: READ_FUNCTIONS[table], address, quantity },
          })),
    ),
  };
}

/** Coils from 0 on that command: fan, dampers, heat, trouble, alarm. */
const COMMAND_COILS = 5;

/** What goes over the wire for a task, in order. */
export function requestsOf(
  plan: SupervisorPlan,
  task: Task,
  coils: readonly boolean[],
): readonly Addressed[] {
  switch (task.kind) {
    case 'inputs':
      return plan.reads.inputs;
    case 'readBack':
      return plan.reads.readBack;
    case 'sensor':
      return plan.reads.sensors[task.sensor] ?? [];
    case 'write': {
      const known = plan.writes.get(coils);
      if (known !== undefined) return known;
      const writes = writesOf(plan, coils);
      plan.writes.set(coils, writes);
      return writes;
    }
  }
}

/**
 * The reserved coils between the two runs are left alone: not every I/O module takes them. What stops goes
 * before what starts: where no compressor is to run, theirs go out first, else fan and dampers do.
 */
function writesOf({ fieldIoUnit }: SupervisorPlan, coils: readonly boolean[]): readonly Addressed[] {
  const run = (address: number, to: number): Addressed => {
    const values = Uint16Array.from(coils.slice(address, to), Number);
    return { unitId: fieldIoUnit, request: { kind: 'writeMany', functionCode: 15, address, values } };
  };
  const around = run(0, COMMAND_COILS);
  const compressors = run(COMPRESSOR_COIL_FIRST, coils.length);
  return coils.includes(true, COMPRESSOR_COIL_FIRST) ? [around, compressors] : [compressors, around];
}

export function modbusSensor(plan: SupervisorPlan, index: number): ModbusSensor {
  const sensor = plan.sensors[index];
  if (sensor?.kind !== 'modbus') throw new Error(`sensor ${index} is not on Modbus`);
  return sensor;
}
