import { describe, expect, test } from 'vitest';
import { type Device, powerDown, powerUp, registersOf } from '../../../sim/device/index.ts';
import { answer } from '../../../src/modbus/index.ts';
import { ms } from '../../../src/units/index.ts';
import { bytesOf, hexOf } from '../../src/modbus/vectors.ts';
import { referenceProfile } from '../../src/sensor/reference.ts';
import { device, fault, give, read } from './devices.ts';

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
