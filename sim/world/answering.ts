/** Who on a line answers a request, and what, before any wire spoils it. */
import { answer, BROADCAST, functionRow } from '../../src/modbus/index.ts';
import type { Rig } from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';
import type { valuesOf } from '../device/index.ts';
import {
  type FieldIo,
  type FieldIoRegisters,
  type Terminals,
  terminalsOf,
  type Wired,
} from '../equipment/index.ts';
import { type Fault, faultOf } from '../faults/index.ts';
import type { Observe } from './observation.ts';
import { type Draw, strikes } from './random.ts';
import { tellChanges } from './tell.ts';
import type { Unit } from './unit.ts';

/** Of the world, as much as its devices need to answer. */
interface Surroundings {
  readonly rig: Rig;
  readonly nowMs: Ms;
  readonly draw: Draw;
  readonly io: FieldIo;
  readonly ioRegisters: FieldIoRegisters;
  readonly faults: ReadonlyMap<string, readonly Fault[]>;
  readonly tell: Observe;
  unitsOn(line: string): readonly Unit[];
  valuesOf(unit: Unit): ReturnType<typeof valuesOf>;
  wired(): Wired;
  settle(): void;
}

/** Two devices at one address have both heard the request, and talk at once. */
export interface TwoReplies {
  readonly one: Uint8Array;
  readonly other: Uint8Array;
}

/** Undefined for silence. A broadcast is carried out by all and answered by none. */
export function answerOf(
  world: Surroundings,
  line: string,
  unitId: number,
  pdu: Uint8Array,
): Uint8Array | TwoReplies | undefined {
  const { fieldIo } = world.rig;
  const units = world.unitsOn(line);
  if (unitId === BROADCAST) {
    for (const unit of units) answerAs(world, unit, pdu);
    if (line === fieldIo.line) answerAsIo(world, pdu);
    return undefined;
  }
  if (line === fieldIo.line && unitId === fieldIo.unitId) return answerAsIo(world, pdu);
  let one: Uint8Array | undefined;
  let other: Uint8Array | undefined;
  for (const unit of units) {
    const reply = unit.device.address === unitId ? answerAs(world, unit, pdu) : undefined;
    if (one === undefined) one = reply;
    else other = reply ?? other;
  }
  return one === undefined || other === undefined ? one : { one, other };
}

function answerAs(world: Surroundings, unit: Unit, pdu: Uint8Array): Uint8Array | undefined {
  const { device, registers } = unit;
  if (device.poweredSinceMs === null || strikes(faultOf(device.faults, 'silent'), world.draw))
    return undefined;
  registers.refresh(world.valuesOf(unit), world.nowMs);
  return answer(pdu, registers.model);
}

function answerAsIo(world: Surroundings, pdu: Uint8Array): Uint8Array | undefined {
  if (strikes(faultOf(world.faults.get('fieldIo') ?? [], 'io-silent'), world.draw)) return undefined;
  const { io, ioRegisters, nowMs } = world;
  const row = functionRow(pdu[0] ?? 0);
  if (row?.shape === 'read') {
    // Coils are the module's own; only its inputs are wired to something.
    if (row.table !== 'coils') ioRegisters.refresh(world.wired(), nowMs);
    return answer(pdu, ioRegisters.model);
  }
  const before = commanded(io);
  ioRegisters.writeAt(nowMs);
  const reply = answer(pdu, ioRegisters.model);
  tellChanges('command', before, commanded(io), world.rig.circuits, nowMs, world.tell);
  world.settle();
  return reply;
}

/** The command coils as they were set, whatever the watchdog makes of them. */
export function commanded(io: FieldIo): Terminals {
  return terminalsOf(io, io.lastCompleteMs);
}
