/** A device behind its registers: the tables that Modbus requests read and write. */
import {
  type DataModel,
  EXCEPTIONS,
  readableTable,
  type WritableTable,
  writableTable,
} from '../../src/modbus/index.ts';
import { type Profile, type SensorValues, wordsOf } from '../../src/sensor/index.ts';
import type { Ms } from '../../src/units/index.ts';
import { type Device, powerDown, powerUp } from './device.ts';

/** How long a lamp identifies (so that a person can find the sensor). */
const IDENTIFY_MS = 30_000;
const ADDRESS_MAX = 247;
/** The device cannot do it now or with this value; 03 would speak of the request's structure (MB-APP 7). */
const CANNOT = EXCEPTIONS.serverDeviceFailure.code;

export interface DeviceRegisters {
  readonly model: DataModel;
  /** Brings the readable registers up to what the device publishes; `now` also dates writes that follow. */
  refresh(values: SensorValues, now: Ms): void;
}

/** Images are made once and filled again at each request: a poll costs no allocation but its answer. */
export function registersOf(device: Device): DeviceRegisters {
  const { codec } = device.plan;
  const { profile } = codec;
  const input = imageFor(profile, 'input');
  const holding = imageFor(profile, 'holding');
  let nowMs = 0 as Ms;
  const model: DataModel = {
    ...(input.length > 0 ? { inputRegisters: readableTable([{ first: 0, values: input }]) } : {}),
    holdingRegisters: holdingTable(device, holding, () => nowMs),
  };
  return {
    model,
    refresh(values, now) {
      nowMs = now;
      codec.encode(values, 'input', input);
      codec.encode(values, 'holding', holding);
      holding[profile.commands.newAddress.address] = device.nextAddress;
    },
  };
}

/** As long as the last point or command of the table, so that reads past it get exception 02. */
function imageFor(profile: Profile, table: 'input' | 'holding'): Uint16Array {
  const points = Object.values(profile.points).filter((point) => point.table === table);
  const ends = points.map((point) => point.address + wordsOf(point));
  const { newAddress, command, writeKey } = profile.commands;
  const commands = table === 'holding' ? [newAddress, command, writeKey].map((one) => one.address + 1) : [];
  return new Uint16Array(Math.max(0, ...ends, ...commands));
}

/** Commands act when they are written and read back as 0; the new address reads back what was written. */
function holdingTable(device: Device, image: Uint16Array, now: () => Ms): WritableTable {
  const { newAddress, command, writeKey } = device.plan.codec.profile.commands;
  return writableTable([{ first: 0, values: image }], {
    refuses(address, value) {
      if (address === newAddress.address) {
        const open = now() < device.keyUntilMs;
        return open && value >= 1 && value <= ADDRESS_MAX ? undefined : CANNOT;
      }
      if (address === command.address)
        return Object.values(command.values).includes(value) ? undefined : CANNOT;
      return address === writeKey.address ? undefined : CANNOT;
    },
    written(address, value) {
      if (address === newAddress.address) {
        device.nextAddress = value;
        return;
      }
      image[address] = 0;
      if (address === writeKey.address) {
        device.keyUntilMs = value === writeKey.value ? now() + writeKey.opensFor : Number.NEGATIVE_INFINITY;
      } else obey(device, value, now());
    },
  });
}

/** A restart is a short loss of supply: the new address is taken up, the self-test begins. */
function obey(device: Device, value: number, now: Ms): void {
  const { selfTest, restart, identify } = device.plan.codec.profile.commands.command.values;
  if (value === selfTest) device.testingSinceMs = now;
  if (value === identify) device.identifyUntilMs = now + IDENTIFY_MS;
  if (value === restart) {
    powerDown(device, now);
    powerUp(device, now);
  }
}
