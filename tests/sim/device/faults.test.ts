import { describe, expect, test } from 'vitest';
import { bringUpTo, powerDown, powerUp } from '../../../sim/device/index.ts';
import {
  FAULT_KINDS,
  FAULTS,
  type Fault,
  type FaultKind,
  WIRE_FAULT_KINDS,
} from '../../../sim/faults/index.ts';
import type { SensorValues } from '../../../src/sensor/index.ts';
import { ms } from '../../../src/units/index.ts';
import { device, fault, give, NOW, read } from './devices.ts';

/** What a fault changes in what a sensor publishes, and nothing else, with so much gas at its element. */
function changedBy(faults: readonly Fault[], sensed: number, scatter = 0): Partial<SensorValues> {
  const [sound, faulty] = [device(), device()];
  give(faulty, faults, sensed);
  const before = read(sound, sensed);
  const after = Object.entries(read(faulty, sensed, NOW, scatter));
  return Object.fromEntries(after.filter(([name, value]) => value !== before[name as keyof SensorValues]));
}

const number = (gasPercentLfl: number) => ({ gasPercentLfl, gasPercentVol: expect.any(Number) as number });
const FAILED = {
  state: 'failed',
  selfTestPassed: false,
  failedBit: true,
  gasPercentLfl: null,
  gasPercentVol: null,
} as const;
const WARMING_UP = {
  state: 'warming-up',
  selfTestPassed: false,
  gasPercentLfl: null,
  gasPercentVol: null,
} as const;

/** Fault, parameters, gas at the element, what changes; the setpoint is 20 %LFL. */
const ROWS: readonly (readonly [FaultKind, Record<string, unknown>, number, Partial<SensorValues>])[] = [
  ['self-failed', {}, 12, { ...FAILED, faultCode: 1 }],
  ['self-failed', { code: 7 }, 12, { ...FAILED, faultCode: 7 }],
  ['self-failed', {}, 30, { ...FAILED, faultCode: 1, gasBit: false }],
  ['stuck', {}, 12, {}],
  ['stuck-state', {}, 12, {}],
  ['frozen-counter', {}, 12, {}],
  ['stuck-warm-up', {}, 12, WARMING_UP],
  ['stuck-warm-up', {}, 30, { ...WARMING_UP, gasBit: false }],
  ['blind', {}, 12, number(0)],
  ['blind', {}, 30, { ...number(0), state: 'measuring', gasBit: false }],
  ['offset', { by: '5 %LFL' }, 12, number(17)],
  ['offset', { by: '-5 %LFL' }, 12, number(7)],
  ['offset', { by: '-30 %LFL' }, 12, number(0)],
  ['offset', { by: '10 %LFL' }, 12, { ...number(22), state: 'gas', gasBit: true }],
  // 10000 ppm of R-32 are 1 %vol, 6.923 %LFL at 52.0 g/mol and 24.465 l/mol; 5.077 are left.
  ['offset', { by: '-10000 ppm' }, 12, number(5)],
  ['gain', { factor: 0.5 }, 12, number(6)],
  ['gain', { factor: 2 }, 12, { ...number(24), state: 'gas', gasBit: true }],
  ['noisy', { by: '4 %LFL' }, 12, number(14)],
  ['saturated', {}, 12, { ...number(100), state: 'gas', gasBit: true, saturated: true }],
  ['saturated', { at: '50 %LFL' }, 30, { ...number(50), saturated: true }],
  ['worn-out', {}, 12, { ...number(7.2), serviceDaysLeft: 0, serviceDue: true }],
  [
    'worn-out',
    { factor: 0.5 },
    30,
    { ...number(15), state: 'measuring', gasBit: false, serviceDaysLeft: 0, serviceDue: true },
  ],
  ['poisoned', {}, 12, number(3.6)],
  ['poisoned', { factor: 0 }, 30, { ...number(0), state: 'measuring', gasBit: false }],
  // It has yet to come through the element's lag: see other-gas.test.ts.
  ['other-gas', { by: '12 %LFL' }, 12, {}],
  ['reboots', {}, 12, {}],
  // These are the world's business: who answers, where it sits, how fast its element is, whether it has
  // power.
  ['silent', {}, 12, {}],
  ['slow', { t90: '60 s' }, 12, {}],
  ['misplaced', { at: 'room-high' }, 12, {}],
  ['swapped', { with: 'coil-b' }, 12, {}],
  ['no-power', {}, 12, {}],
];

describe('a fault changes in a sensor what it says and nothing else', () => {
  test.each(ROWS)('%s %o with %d percent LFL', (kind, parameters, sensed, changed) => {
    expect(changedBy([fault(kind, parameters)], sensed, 0.5)).toEqual(changed);
  });

  test('every fault of a Modbus sensor is among them, but those of its wire', () => {
    const ofWires: readonly string[] = WIRE_FAULT_KINDS;
    const ofSensors = FAULT_KINDS.filter(
      (kind) => (FAULTS[kind].targets as readonly string[]).includes('sensor') && !ofWires.includes(kind),
    );
    expect([...new Set(ROWS.map(([kind]) => kind))].toSorted()).toEqual(ofSensors.toSorted());
  });

  test('and is gone without a trace once it is mended', () => {
    for (const [kind, parameters, sensed] of ROWS) {
      const one = device();
      give(one, [fault(kind, parameters)], sensed);
      give(one, [], sensed);
      expect(read(one, sensed), kind).toEqual(read(device(), sensed));
    }
  });
});

describe('what is stuck stays as it was when it stuck', () => {
  const LATER = ms(130_000);

  test('the number, while the state goes on', () => {
    const one = device();
    give(one, [fault('stuck')], 12);
    expect(read(one, 30, LATER)).toEqual({
      ...read(device(), 30, LATER),
      gasPercentLfl: 12,
      gasPercentVol: read(device(), 12).gasPercentVol,
    });
  });

  test('the state word and bits, while the number goes on', () => {
    const one = device();
    give(one, [fault('stuck-state')], 12);
    expect(read(one, 30, LATER)).toEqual({ ...read(device(), 30, LATER), state: 'measuring', gasBit: false });
  });

  test('the state word even through a self-test, in which the number is no reading', () => {
    const one = device();
    give(one, [fault('stuck-state')], 12);
    one.testingSinceMs = LATER;
    expect(read(one, 12, LATER)).toMatchObject({
      state: 'measuring',
      selfTestPassed: true,
      gasPercentLfl: null,
    });
  });

  test('a state that stuck in the self-test, after which the number goes on all the same', () => {
    const one = device();
    give(one, [fault('stuck-state')], 12, ms(2000));
    expect(read(one, 30)).toMatchObject({ state: 'warming-up', selfTestPassed: false, gasPercentLfl: 30 });
  });

  test('the counter, while all else goes on', () => {
    const one = device();
    give(one, [fault('frozen-counter')], 12);
    expect(read(one, 30, LATER)).toEqual({ ...read(device(), 30, LATER), counter: 100 });
  });

  test('each from its own moment, though another stuck before it', () => {
    const one = device();
    give(one, [fault('stuck')], 12);
    give(one, [fault('stuck'), fault('frozen-counter')], 25, LATER);
    give(one, [fault('stuck'), fault('frozen-counter'), fault('stuck-state')], 25, ms(140_000));
    expect(read(one, 3, ms(150_000))).toMatchObject({ gasPercentLfl: 12, counter: 130, state: 'gas' });
    give(one, [fault('frozen-counter')], 3, ms(160_000));
    expect(read(one, 3, ms(170_000))).toMatchObject({ gasPercentLfl: 3, counter: 130, state: 'measuring' });
  });

  test('anew, when it is mended and sticks again', () => {
    const one = device();
    give(one, [fault('stuck')], 12);
    give(one, [], 12);
    give(one, [fault('stuck')], 15, LATER);
    expect(read(one, 3, LATER).gasPercentLfl).toBe(15);
  });
});

describe('faults together', () => {
  test('add up in the order of the element, the electronics and the offset', () => {
    const both = [fault('gain', { factor: 2 }), fault('offset', { by: '5 %LFL' })];
    expect(changedBy(both, 6)).toEqual(number(17));
    expect(changedBy([fault('blind'), fault('offset', { by: '5 %LFL' })], 12)).toEqual(number(5));
  });

  test('a sensor that has failed is failed, whatever else it has', () => {
    expect(changedBy([fault('self-failed'), fault('stuck-warm-up')], 12)).toEqual({
      ...FAILED,
      faultCode: 1,
    });
  });
});

describe('a sensor that reboots again and again', () => {
  test('begins anew at every whole period since the fault came, and not before it', () => {
    const one = device();
    give(one, [fault('reboots', { every: '30 s' })]);
    const at = (now: number) => {
      bringUpTo(one, ms(now));
      return read(one, 0, ms(now));
    };
    expect(at(100_000)).toMatchObject({ state: 'measuring', counter: 100 });
    expect(at(129_999)).toMatchObject({ state: 'measuring', counter: 129 });
    expect(at(130_000)).toMatchObject({ state: 'warming-up', counter: 0 });
    expect(at(134_000)).toMatchObject({ state: 'measuring', counter: 4 });
    expect(at(225_000), 'though nobody asked for three periods').toMatchObject({
      state: 'measuring',
      counter: 5,
    });
  });

  test('keeps its hours', () => {
    const one = device();
    give(one, [fault('reboots', { every: '30 s' })]);
    bringUpTo(one, ms(3_600_000));
    expect(read(one, 0, ms(3_600_000)).hours).toBe(1);
  });

  test('is not moved by a self-test somebody asks for', () => {
    const one = device();
    give(one, [fault('reboots', { every: '30 s' })]);
    one.testingSinceMs = ms(120_000);
    bringUpTo(one, ms(131_000));
    expect(read(one, 0, ms(131_000)).counter).toBe(1);
  });

  test('counts from its power-up, and does nothing without power', () => {
    const one = device();
    give(one, [fault('reboots', { every: '30 s' })]);
    powerDown(one, ms(110_000));
    bringUpTo(one, ms(170_000));
    expect(one.poweredSinceMs).toBeNull();
    powerUp(one, ms(175_000));
    bringUpTo(one, ms(204_000));
    expect(read(one, 0, ms(204_000)).counter).toBe(29);
    bringUpTo(one, ms(205_000));
    expect(read(one, 0, ms(205_000)).counter).toBe(0);
  });
});
