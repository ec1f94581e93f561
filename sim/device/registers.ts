/** A device behind its registers: the tables that Modbus requests read and write. */
import {
  type DataModel,
  EXCEPTIONS,
  type Range,
  readableTable,
  UNIT_MAX,
  type WritableTable,
  type WriteHooks,
  writableTable,
} from '../../src/modbus/index.ts';
import { type Profile, type SensorValues, TABLES, type Table, wordsOf } from '../../src/sensor/index.ts';
import type { Ms } from '../../src/units/index.ts';
import { type Device, powerDown, powerUp } from './device.ts';
import { sensorIdentity } from './identity.ts';

/** How long a lamp identifies (so that a person can find the sensor). */
const IDENTIFY_MS = 30_000;
/** The device cannot do it now or with this value; 03 would speak of the request's structure (MB-APP 7). */
const CANNOT = EXCEPTIONS.serverDeviceFailure.code;

export interface DeviceRegisters {
  readonly model: DataModel;
  /** Brings the readable registers up to what the device publishes; `now` also dates writes that follow. */
  refresh(values: SensorValues, now: Ms): void;
}

/**
 * Images are made once and filled again when what they show has changed: most polls find the same numbers,
 * and to write them anew would be half of what a poll costs.
 */
export function registersOf(device: Device): DeviceRegisters {
  const { codec } = device.plan;
  const { profile } = codec;
  const images = {
    discrete: imageFor(profile, 'discrete'),
    coil: imageFor(profile, 'coil'),
    input: imageFor(profile, 'input'),
    holding: imageFor(profile, 'holding'),
  };
  const tables = TABLES.filter((table) => images[table].length > 0);
  const whole = (table: Table): readonly Range[] => [{ first: 0, values: images[table] }];
  let nowMs = 0 as Ms;
  let shown: SensorValues | undefined;
  const model: DataModel = {
    ...(tables.includes('discrete') && { discreteInputs: readableTable(whole('discrete')) }),
    ...(tables.includes('coil') && { coils: writableTable(whole('coil'), MEASURED) }),
    ...(tables.includes('input') && { inputRegisters: readableTable(whole('input')) }),
    ...(tables.includes('holding') && {
      holdingRegisters: holdingTable(device, images.holding, () => nowMs),
    }),
    identification: sensorIdentity(device),
  };
  return {
    model,
    refresh(values, now) {
      nowMs = now;
      if (shown === undefined || !agree(values, shown)) {
        for (const table of tables) codec.encode(values, table, images[table], shown);
        shown = values;
      }
      const newAddress = profile.commands?.newAddress;
      if (newAddress !== undefined) images.holding[newAddress.address] = device.nextAddress;
    },
  };
}

/** Field by field: a loop over their names would cost as much as all that it saves. */
function agree(one: SensorValues, other: SensorValues): boolean {
  return (
    one.state === other.state &&
    one.gasBit === other.gasBit &&
    one.selfTestPassed === other.selfTestPassed &&
    one.failedBit === other.failedBit &&
    one.serviceDue === other.serviceDue &&
    one.saturated === other.saturated &&
    one.gasPercentLfl === other.gasPercentLfl &&
    one.gasPercentVol === other.gasPercentVol &&
    one.setpointPercentLfl === other.setpointPercentLfl &&
    one.faultCode === other.faultCode &&
    one.hours === other.hours &&
    one.serviceDaysLeft === other.serviceDaysLeft &&
    one.temperatureC === other.temperatureC &&
    one.counter === other.counter &&
    one.refrigerant === other.refrigerant &&
    one.serial === other.serial
  );
}

/** What a sensor measures is not for others to write. */
const MEASURED: WriteHooks = { refuses: () => CANNOT, written: () => undefined };

/** As long as the last point or command of the table, so that reads past it get exception 02. */
function imageFor(profile: Profile, table: Table): Uint16Array {
  const points = Object.values(profile.points).filter((point) => point.table === table);
  const ends = points.map((point) => point.address + wordsOf(point));
  const { newAddress, command, writeKey } = profile.commands ?? {};
  const taken = table === 'holding' ? [newAddress, command, writeKey] : [];
  const commands = taken.flatMap((one) => (one === undefined ? [] : [one.address + 1]));
  return new Uint16Array(Math.max(0, ...ends, ...commands));
}

/** Commands act when they are written and read back as 0; the new address reads back what was written. */
function holdingTable(device: Device, image: Uint16Array, now: () => Ms): WritableTable {
  const { newAddress, command, writeKey } = device.plan.codec.profile.commands ?? {};
  const values: CommandValues = command?.values ?? {};
  return writableTable([{ first: 0, values: image }], {
    refuses(address, value) {
      if (address === newAddress?.address) {
        const open = writeKey === undefined || now() < device.keyUntilMs;
        return open && value >= 1 && value <= UNIT_MAX ? undefined : CANNOT;
      }
      if (address === command?.address) return Object.values(values).includes(value) ? undefined : CANNOT;
      return address === writeKey?.address ? undefined : CANNOT;
    },
    written(address, value) {
      if (address === newAddress?.address) {
        device.nextAddress = value;
        return;
      }
      image[address] = 0;
      if (address === writeKey?.address) {
        device.keyUntilMs = value === writeKey.value ? now() + writeKey.opensFor : Number.NEGATIVE_INFINITY;
      } else obey(device, values, value, now());
    },
  });
}

type CommandValues = NonNullable<NonNullable<Profile['commands']>['command']>['values'];

/** A restart is a short loss of supply: the new address is taken up, the self-test begins. */
function obey(device: Device, { selfTest, restart, identify }: CommandValues, value: number, now: Ms): void {
  if (value === selfTest) device.testingSinceMs = now;
  if (value === identify) device.identifyUntilMs = now + IDENTIFY_MS;
  if (value === restart) {
    powerDown(device, now);
    powerUp(device, now);
  }
}
