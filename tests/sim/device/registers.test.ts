import { describe, expect, test } from 'vitest';
import { type Device, newDevice, powerDown, powerUp, registersOf } from '../../../sim/device/index.ts';
import { answer, decodeResponse, encodeRequest, type Request } from '../../../src/modbus/index.ts';
import type { SensorValues } from '../../../src/sensor/index.ts';
import { ms } from '../../../src/units/index.ts';
import { bytesOf, hexOf } from '../../src/modbus/vectors.ts';
import { referenceProfile, shippedProfile } from '../../src/sensor/reference.ts';
import { device, fault, give, plan, read } from './devices.ts';

const KEY = '06 00 02 A2 1C';
const NEW_ADDRESS_77 = '06 00 00 00 4D';
const SELF_TEST = '06 00 01 00 01';
const RESTART = '06 00 01 00 02';
const IDENTIFY = '06 00 01 00 03';
const READ_HOLDING = '03 00 00 00 03';
/** Exception 04, server device failure: the device cannot do it now, or not with this value. */
const CANNOT = '86 04';

/** A device to ask at a moment, as the wire does: brought up to date, then asked. */
function asked(one: Device): (hex: string, now: number, sensed?: number) => string {
  const registers = registersOf(one);
  return (hex, now, sensed = 0) => {
    registers.refresh(read(one, sensed, ms(now)), ms(now));
    return hexOf(answer(bytesOf(hex), registers.model));
  };
}

describe('the input registers of a sensor (FC 04)', () => {
  test('show the picture of the moment they are read', () => {
    const ask = asked(device());
    expect(ask('04 00 00 00 05', 2000), 'warming up').toBe('04 0A 00 01 00 00 FF FF FF FF 00 C8');
    expect(ask('04 00 00 00 05', 9000, 12), 'measuring').toBe('04 0A 00 02 00 02 00 78 00 AD 00 C8');
    expect(ask('04 00 00 00 05', 9000, 30), 'gas').toBe('04 0A 00 03 00 03 01 2C 01 B1 00 C8');
    expect(ask('04 00 0A 00 01', 12_345), 'counter').toBe('04 02 00 0C');
    expect(ask('04 00 0F 00 04', 9000), 'serial').toBe('04 08 32 34 30 38 31 31 20 20');
  });

  test('show a sensor that has failed, with its code and no reading', () => {
    const one = device();
    give(one, [fault('self-failed', { code: 9 })]);
    expect(asked(one)('04 00 00 00 06', 9000, 30)).toBe('04 0C 00 04 00 04 FF FF FF FF 00 C8 00 09');
  });

  test('are 19, and read-only', () => {
    const ask = asked(device());
    expect(ask('04 00 00 00 13', 9000)).toMatch(/^04 26 /u);
    expect(ask('04 00 00 00 14', 9000)).toBe('84 02');
  });

  test('do not exist where a profile puts every point into holding registers', () => {
    const profile = referenceProfile();
    const { state } = profile.points;
    if (state === undefined) throw new Error('the reference sensor has a state');
    const ask = asked(device({ ...profile, points: { state: { ...state, table: 'holding', address: 9 } } }));
    expect(ask('04 00 00 00 01', 9000)).toBe('84 01');
    expect(ask('03 00 09 00 01', 9000)).toBe('03 02 00 02');
    expect(ask('06 00 09 00 03', 9000), 'a measured point takes no writes').toBe(CANNOT);
  });
});

/** Something else than what a sound sensor in clean air says, for everything that one can say. */
const OTHER: { readonly [Name in keyof SensorValues]: SensorValues[Name] } = {
  state: 'gas',
  gasBit: true,
  selfTestPassed: false,
  failedBit: true,
  serviceDue: true,
  saturated: true,
  gasPercentLfl: 30,
  gasPercentVol: 4,
  setpointPercentLfl: 15,
  faultCode: 9,
  hours: 70_000,
  serviceDaysLeft: 3,
  temperatureC: -5,
  counter: 4711,
  refrigerant: 'R-454B',
  serial: '240899',
};

describe('registers that were shown before', () => {
  test.each(Object.keys(OTHER) as (keyof SensorValues)[])('are written anew when %s changes', (name) => {
    const one = device();
    const before = read(one, 0, ms(9000));
    const after = { ...before, [name]: OTHER[name] };
    const shown = (...seen: readonly SensorValues[]): string => {
      const registers = registersOf(one);
      for (const values of seen) registers.refresh(values, ms(9000));
      return hexOf(answer(bytesOf('04 00 00 00 13'), registers.model));
    };
    expect(shown(before, after)).toBe(shown(after));
    expect(shown(before, after, before)).toBe(shown(before));
    expect(shown(after)).not.toBe(shown(before));
  });
});

describe('a new address', () => {
  test('is refused without the key, and changes nothing', () => {
    const one = device();
    const ask = asked(one);
    expect(ask(NEW_ADDRESS_77, 9000)).toBe(CANNOT);
    expect(ask(READ_HOLDING, 9000)).toBe('03 06 00 0B 00 00 00 00');
    expect(one.nextAddress).toBe(11);
  });

  test('reads back what was written, and is taken up at the next power-up, not before', () => {
    const one = device();
    const ask = asked(one);
    expect(ask(KEY, 9000)).toBe(KEY);
    expect(ask(NEW_ADDRESS_77, 9000)).toBe(NEW_ADDRESS_77);
    expect(ask(READ_HOLDING, 9000), 'the key is not to be read').toBe('03 06 00 4D 00 00 00 00');
    expect(one.address).toBe(11);
    powerDown(one, ms(10_000));
    powerUp(one, ms(11_000));
    expect(one.address).toBe(77);
    expect(ask(READ_HOLDING, 20_000)).toBe('03 06 00 4D 00 00 00 00');
  });

  test('may be written for 60 s from the key on, and not a moment longer', () => {
    const ask = asked(device());
    ask(KEY, 9000);
    expect(ask(NEW_ADDRESS_77, 68_999)).toBe(NEW_ADDRESS_77);
    expect(ask(NEW_ADDRESS_77, 69_000)).toBe(CANNOT);
    ask(KEY, 70_000);
    expect(ask(NEW_ADDRESS_77, 129_999)).toBe(NEW_ADDRESS_77);
  });

  test('is locked again by a wrong key, and by a power-up', () => {
    const one = device();
    const ask = asked(one);
    ask(KEY, 9000);
    expect(ask('06 00 02 A2 1D', 9100)).toBe('06 00 02 A2 1D');
    expect(ask(NEW_ADDRESS_77, 9200)).toBe(CANNOT);
    ask(KEY, 9300);
    powerDown(one, ms(9400));
    powerUp(one, ms(9500));
    expect(ask(NEW_ADDRESS_77, 9600)).toBe(CANNOT);
  });

  // MB-SER 2.2: 1 to 247 name a device, 0 is broadcast, 248 to 255 are reserved.
  test('is 1 to 247', () => {
    const ask = asked(device());
    ask(KEY, 9000);
    expect(ask('06 00 00 00 00', 9000)).toBe(CANNOT);
    expect(ask('06 00 00 00 F8', 9000)).toBe(CANNOT);
    expect(ask('06 00 00 00 01', 9000)).toBe('06 00 00 00 01');
    expect(ask('06 00 00 00 F7', 9000)).toBe('06 00 00 00 F7');
  });

  test('is not taken in one request with its key: a request is judged as things stood before it', () => {
    const one = device();
    const ask = asked(one);
    expect(ask('10 00 00 00 03 06 00 4D 00 03 A2 1C', 9000)).toBe('90 04');
    expect(one).toMatchObject({ nextAddress: 11, keyUntilMs: Number.NEGATIVE_INFINITY });
    ask(KEY, 9000);
    expect(ask('10 00 00 00 01 02 00 4D', 9000)).toBe('10 00 00 00 01');
    expect(one.nextAddress).toBe(77);
  });
});

describe('a command', () => {
  const state = '04 00 00 00 01';

  test('self-test: warming up again, the counter goes on', () => {
    const ask = asked(device());
    expect(ask(SELF_TEST, 9000)).toBe(SELF_TEST);
    expect(ask(state, 12_999)).toBe('04 02 00 01');
    expect(ask(state, 13_000)).toBe('04 02 00 02');
    expect(ask('04 00 0A 00 01', 13_000)).toBe('04 02 00 0D');
  });

  test('restart: as after a power-up, the counter begins anew', () => {
    const one = device();
    const ask = asked(one);
    ask(KEY, 8000);
    ask(NEW_ADDRESS_77, 8000);
    expect(ask(RESTART, 9000)).toBe(RESTART);
    expect(ask(state, 9000)).toBe('04 02 00 01');
    expect(ask('04 00 0A 00 01', 11_000)).toBe('04 02 00 02');
    expect(one.address).toBe(77);
  });

  test('identify: for 30 s, and a restart ends it', () => {
    const one = device();
    const ask = asked(one);
    expect(ask(IDENTIFY, 9000)).toBe(IDENTIFY);
    expect(one.identifyUntilMs).toBe(39_000);
    ask(RESTART, 10_000);
    expect(one.identifyUntilMs).toBe(Number.NEGATIVE_INFINITY);
  });

  test('needs no key, reads back as 0, and is refused where there is none of that number', () => {
    const ask = asked(device());
    ask(IDENTIFY, 9000);
    expect(ask('03 00 01 00 01', 9000)).toBe('03 02 00 00');
    expect(ask('06 00 01 00 00', 9000)).toBe(CANNOT);
    expect(ask('06 00 01 00 04', 9000)).toBe(CANNOT);
    expect(ask('06 00 03 00 01', 9000), 'past the last register').toBe('86 02');
  });
});

/** Function 2B, interface 0E (MB-APP 6.21): what the objects of an answer say, by number. */
function identity(one: Device, readCode: 1 | 2 | 3): Record<number, string> & { level: number } {
  const request: Request = { kind: 'identify', functionCode: 0x2b, readCode, objectId: 0 };
  const response = decodeResponse(answer(encodeRequest(request), registersOf(one).model), request);
  if (response.kind !== 'identify') throw new Error(JSON.stringify(response));
  const texts = response.objects.map(({ id, value }) => [id, Buffer.from(value).toString('latin1')]);
  return { level: response.conformity, ...(Object.fromEntries(texts) as Record<number, string>) };
}

describe('a sensor that is asked what it is', () => {
  const basic = { 0: 'leakbench', 1: 'LB-SENSOR', 2: '1.0' };
  const regular = { ...basic, 4: 'virtual refrigerant sensor', 5: 'reference', 6: 'coil-a' };

  test('names its profile, its place in the rig and its serial', () => {
    expect(identity(device(), 1)).toEqual({ level: 0x83, ...basic });
    expect(identity(device(), 2)).toEqual({ level: 0x83, ...regular });
    expect(identity(device(), 3)).toEqual({ level: 0x83, ...regular, 128: '240811' });
    expect(asked(device())('2B 0E 04 80', 9000)).toBe('2B 0E 04 83 00 00 01 80 06 32 34 30 38 31 31');
  });

  test('has no private object without a serial, and no extended level', () => {
    const nameless = newDevice({ ...plan(), serial: null });
    expect(identity(nameless, 3)).toEqual({ level: 0x82, ...regular });
    expect(asked(nameless)('2B 0E 04 80', 9000)).toBe('AB 02');
  });

  test('is called as its profile is, as far as ASCII and one answer go', () => {
    const long = device({ ...referenceProfile(), name: `é${'n'.repeat(300)}` });
    expect(asked(long)('2B 0E 04 05', 9000)).toMatch(/^2B 0E 04 83 00 00 01 05 F4 3F( 6E){243}$/u);
  });
});

describe('functions 16 and 17', () => {
  test('obey the rules of a single write: key, range, commands', () => {
    const one = device();
    const ask = asked(one);
    const lowBitsTo77 = '16 00 00 FF 00 00 4D';
    expect(ask(lowBitsTo77, 9000), 'no key').toBe('96 04');
    ask(KEY, 9000);
    expect(ask(lowBitsTo77, 9000)).toBe(lowBitsTo77);
    expect(one.nextAddress).toBe(77);
    expect(ask('16 00 00 00 00 00 F8', 9000), 'no address of a device').toBe('96 04');
    expect(one.nextAddress).toBe(77);
    expect(ask('16 00 01 00 00 00 03', 9000), 'identify').toBe('16 00 01 00 00 00 03');
    expect(one.identifyUntilMs).toBe(39_000);
  });

  test('a new address reads back in the request that wrote it; the key before it does not', () => {
    const one = device();
    const ask = asked(one);
    expect(ask('17 00 00 00 03 00 02 00 01 02 A2 1C', 9000), 'the key').toBe('17 06 00 0B 00 00 00 00');
    expect(ask('17 00 00 00 01 00 00 00 01 02 00 4D', 9000)).toBe('17 02 00 4D');
    expect(one.nextAddress).toBe(77);
    expect(ask('17 00 00 00 04 00 00 00 01 02 00 4E', 9000), 'reads past the map').toBe('97 02');
    expect(one.nextAddress, 'so nothing was written').toBe(77);
  });
});

describe('a sensor of another profile', () => {
  test('shows its bits in discrete inputs, read-only, and takes no write anywhere', () => {
    const ask = asked(device(shippedProfile('bits-and-counts')));
    expect(ask('02 00 08 00 05', 2000), 'warming up').toBe('02 01 01');
    expect(ask('02 00 08 00 05', 9000), 'measuring').toBe('02 01 00');
    expect(ask('02 00 08 00 05', 9000, 30), 'gas').toBe('02 01 02');
    expect(ask('04 00 64 00 02', 9000, 30), 'quarters of a %LFL').toBe('04 04 00 78 00 14');
    expect(ask('02 00 00 00 0E', 9000), 'past the last bit').toBe('82 02');
    expect(ask('03 00 00 00 01', 9000), 'nothing to hold').toBe('83 01');
    expect(ask('06 00 00 00 01', 9000)).toBe('86 01');
    expect(ask('01 00 00 00 01', 9000)).toBe('81 01');
  });

  test('shows a bit in a coil, and lets nobody write it', () => {
    const profile = shippedProfile('bits-and-counts');
    const { gasBit } = profile.points;
    if (gasBit === undefined) throw new Error('it has a gas bit');
    const points = { ...profile.points, gasBit: { ...gasBit, table: 'coil', address: 3 } } as const;
    const ask = asked(device({ ...profile, points }));
    expect(ask('01 00 00 00 04', 9000, 30)).toBe('01 01 08');
    expect(ask('05 00 03 00 00', 9000, 30)).toBe('85 04');
    expect(ask('01 00 00 00 04', 9000, 30)).toBe('01 01 08');
  });

  test('shows floats low word first, cut to tenths, NaN for no reading', () => {
    const ask = asked(device(shippedProfile('holding-floats')));
    expect(ask('03 00 20 00 02', 2000), 'warming up').toBe('03 04 00 00 7F C0');
    expect(ask('03 00 20 00 02', 9000, 20.5)).toBe('03 04 00 00 41 A4');
    expect(ask('03 00 20 00 02', 9000, 20.5999), 'never more than it compares').toBe('03 04 00 00 41 A4');
    expect(ask('03 00 30 00 01', 9000, 20.5), 'gas').toBe('03 02 00 30');
  });

  test('obeys the commands that it has, and no others', () => {
    const one = device(shippedProfile('holding-floats'));
    const ask = asked(one);
    expect(ask('06 00 50 00 0B', 9000)).toBe('06 00 50 00 0B');
    expect(ask('03 00 30 00 01', 9001), 'its self-test runs').toBe('03 02 00 10');
    expect(ask('06 00 50 00 0C', 20_000)).toBe('06 00 50 00 0C');
    expect(one.identifyUntilMs).toBe(50_000);
    expect(ask('06 00 50 00 02', 20_000), 'no restart').toBe(CANNOT);
    expect(ask('06 00 00 00 4D', 20_000), 'its address is set by a switch').toBe(CANNOT);
    expect(one.nextAddress).toBe(11);
  });

  test('takes no write at all where its profile has no commands', () => {
    const profile = { ...shippedProfile('holding-floats'), commands: undefined };
    const ask = asked(device(profile));
    expect(ask('06 00 30 00 10', 9000), 'a measured point').toBe(CANNOT);
    expect(ask('06 00 50 00 0B', 9000), 'past the last point').toBe('86 02');
    expect(ask('03 00 30 00 01', 9000)).toBe('03 02 00 20');
  });

  test('takes a new address without a key where its profile has none', () => {
    const profile = referenceProfile();
    const one = device({ ...profile, commands: { newAddress: { address: 0 } } });
    expect(asked(one)(NEW_ADDRESS_77, 9000)).toBe(NEW_ADDRESS_77);
    expect(one.nextAddress).toBe(77);
  });
});
