/** The rig as the supervisor works with it: lines, requests and limits, worked out once. */
import type { MitigationPolicy } from '../mitigation/index.ts';
import type { Request } from '../modbus/index.ts';
import type { LinePlan, Task } from '../poll/index.ts';
import { COMPRESSOR_COIL_FIRST, type ModbusSensor, type Rig, type Sensor } from '../rig/index.ts';
import type { Ms, UnitId } from '../units/index.ts';
import { inputCount } from './field-io.ts';

/** A request and whom it goes to. */
export interface Addressed {
  readonly unitId: UnitId;
  readonly request: Request;
}

export interface SupervisorPlan {
  readonly rigName: string;
  readonly lines: readonly (LinePlan & { readonly timeoutMs: Ms })[];
  readonly sensors: readonly Sensor[];
  readonly circuits: readonly string[];
  readonly fieldIoUnit: UnitId;
  readonly limits: {
    readonly setpoint: MitigationPolicy['setpoint'];
    readonly clearBelow: MitigationPolicy['clearBelow'];
    readonly silentAfterMs: Ms;
  };
  readonly policy: MitigationPolicy;
}

export function planOf(rig: Rig): SupervisorPlan {
  const { policy } = rig;
  return {
    rigName: rig.name,
    lines: rig.lines.map((line) => ({
      id: line.id,
      pollEveryMs: line.pollEveryMs,
      timeoutMs: line.timeoutMs,
      retries: line.retries,
      sensors: rig.sensors.flatMap((sensor, index) =>
        sensor.kind === 'modbus' && sensor.line === line.id ? [index] : [],
      ),
      fieldIo: rig.fieldIo.line === line.id,
    })),
    sensors: rig.sensors,
    circuits: rig.circuits,
    fieldIoUnit: rig.fieldIo.unitId,
    limits: { setpoint: policy.setpoint, clearBelow: policy.clearBelow, silentAfterMs: policy.silentAfterMs },
    policy: { ...policy, circuits: rig.circuits },
  };
}

/** What goes over the wire for a task, in order. */
export function requestsOf(
  plan: SupervisorPlan,
  task: Task,
  coils: readonly boolean[],
): readonly Addressed[] {
  const toFieldIo = (request: Request): Addressed => ({ unitId: plan.fieldIoUnit, request });
  switch (task.kind) {
    case 'inputs':
      return [
        toFieldIo({ kind: 'read', functionCode: 2, address: 0, quantity: inputCount(plan.circuits.length) }),
      ];
    case 'write': {
      const run = (from: number, to: number): Uint16Array => Uint16Array.from(coils.slice(from, to), Number);
      // The reserved coils between the two runs are left alone: not every I/O module takes them.
      return [
        toFieldIo({ kind: 'writeMany', functionCode: 15, address: 0, values: run(0, 5) }),
        toFieldIo({
          kind: 'writeMany',
          functionCode: 15,
          address: COMPRESSOR_COIL_FIRST,
          values: run(COMPRESSOR_COIL_FIRST, coils.length),
        }),
      ];
    }
    case 'readBack':
      return [toFieldIo({ kind: 'read', functionCode: 1, address: 0, quantity: coils.length })];
    case 'sensor': {
      const sensor = modbusSensor(plan, task.sensor);
      return sensor.codec.reads.map(({ table, address, quantity }) => ({
        unitId: sensor.unitId,
        request: { kind: 'read', functionCode: table === 'input' ? 4 : 3, address, quantity },
      }));
    }
  }
}

export function modbusSensor(plan: SupervisorPlan, index: number): ModbusSensor {
  const sensor = plan.sensors[index];
  if (sensor?.kind !== 'modbus') throw new Error(`sensor ${index} is not on Modbus`);
  return sensor;
}
