/** The writes of an assignment: key and address, read back; and the command to restart. */
import { exceptionName, type Request } from '../modbus/index.ts';
import type { ModbusSensor } from '../rig/index.ts';
import { type Asking, ask, askSteadily } from '../survey/index.ts';
import type { UnitId } from '../units/index.ts';

interface Write {
  readonly what: string;
  readonly address: number;
  readonly value: number;
}

const HEX = 16;

/** For a person: "key 0xA21C to holding register 2". */
export function writesOf(sensor: ModbusSensor): readonly string[] {
  return plannedWrites(sensor).map(({ what, address, value }) => {
    const figure = what === 'key' ? `0x${value.toString(HEX).toUpperCase()}` : String(value);
    return `${what} ${figure} to holding register ${address}`;
  });
}

/** Null once the sensor reads the new address back; else what stood in the way. */
export function* writeAddress(unitId: UnitId, sensor: ModbusSensor): Asking<string | null> {
  for (const { what, address, value } of plannedWrites(sensor)) {
    const request: Request = { kind: 'writeOne', functionCode: 6, address, value };
    const outcome = yield* ask(unitId, request);
    if (outcome.kind === 'refused') {
      return `${sensor.id} refuses the ${what} (${exceptionName(outcome.exception)})`;
    }
    // Unanswered it may have been heard all the same: what is read back tells.
  }
  const { address } = newAddressOf(sensor);
  const back = yield* askSteadily(unitId, { kind: 'read', functionCode: 3, address, quantity: 1 });
  const [read] = back.kind === 'answered' && back.response.kind === 'read' ? back.response.values : [];
  if (read === sensor.unitId) return null;
  return read === undefined
    ? `${sensor.id} does not let the new address be read back`
    : `${sensor.id} reads ${read} back and not ${sensor.unitId}`;
}

/** It may restart before it has answered. */
export function* restart(unitId: UnitId, { codec }: ModbusSensor): Asking<void> {
  const command = codec.profile.commands?.command;
  const value = command?.values.restart;
  if (command === undefined || value === undefined) throw new Error('no command to restart');
  yield* ask(unitId, { kind: 'writeOne', functionCode: 6, address: command.address, value });
}

function plannedWrites(sensor: ModbusSensor): readonly Write[] {
  const key = sensor.codec.profile.commands?.writeKey;
  return [
    ...(key === undefined ? [] : [{ what: 'key', address: key.address, value: key.value }]),
    { what: 'address', address: newAddressOf(sensor).address, value: sensor.unitId },
  ];
}

/** A profile whose address is set by a register has one: the profile's own check. */
function newAddressOf({ codec }: ModbusSensor): { readonly address: number } {
  const newAddress = codec.profile.commands?.newAddress;
  if (newAddress === undefined)
    throw new Error(`profile ${codec.profile.name} has no register for an address`);
  return newAddress;
}
