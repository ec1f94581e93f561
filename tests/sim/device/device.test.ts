import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bringUpTo, newDevice, powerDown, powerUp } from '../../../sim/device/index.ts';
import { percentLflOf, REFRIGERANTS } from '../../../src/refrigerant/index.ts';
import { ms, percentLfl } from '../../../src/units/index.ts';
import { referenceProfile } from '../../src/sensor/reference.ts';
import { device, FACTS, fault, give, plan, r32, read } from './devices.ts';

const S = 1000;
const H = 3600 * S;
const DAY = 24 * H;

describe('a sensor at power-up', () => {
  test('tests itself first: warming up, no reading, not passed; then it measures', () => {
    const one = device();
    for (const now of [0, 2000, 3999])
      expect(read(one, 30, ms(now)), `${now} ms`).toMatchObject({
        state: 'warming-up',
        gasBit: false,
        selfTestPassed: false,
        gasPercentLfl: null,
        gasPercentVol: null,
      });
    expect(read(one, 30, ms(4000))).toMatchObject({
      state: 'gas',
      gasBit: true,
      selfTestPassed: true,
      gasPercentLfl: 30,
    });
    expect(read(one, 3, ms(4000))).toMatchObject({ state: 'measuring', gasBit: false, gasPercentLfl: 3 });
  });

  test('tests itself again after every cut', () => {
    const one = device();
    powerDown(one, ms(50 * S));
    powerUp(one, ms(60 * S));
    expect(read(one, 0, ms(63_999)).state).toBe('warming-up');
    expect(read(one, 0, ms(64_000)).state).toBe('measuring');
  });

  test('takes up the address it was given', () => {
    const one = device();
    one.nextAddress = 77;
    expect(one.address).toBe(11);
    powerDown(one, ms(1));
    expect(one.address).toBe(11);
    powerUp(one, ms(2));
    expect(one.address).toBe(77);
  });

  test('says who it is', () => {
    expect(read(device(), 0)).toMatchObject({
      refrigerant: 'R-32',
      serial: '240811',
      setpointPercentLfl: 20,
    });
    const nameless = newDevice({ ...plan(), serial: null });
    powerUp(nameless, ms(0));
    expect(read(nameless, 0).serial).toBe('');
  });
});

describe('number, bits and state', () => {
  const around = fc.double({ min: 0, max: 60, noNaN: true });
  const setpoints = fc.double({ min: 0.01, max: 50, noNaN: true });

  test('never contradict each other, in values or in registers, at any level around any setpoint', () => {
    fc.assert(
      fc.property(around, setpoints, fc.constantFrom(...REFRIGERANTS), (sensed, setpoint, refrigerant) => {
        const one = device();
        const values = read(one, sensed, ms(9000), 0, {
          ...FACTS,
          refrigerant,
          setpoint: percentLfl(setpoint),
        });
        expect(values.state === 'gas').toBe(values.gasBit);
        const image = new Uint16Array(19);
        one.plan.codec.encode(values, 'input', image);
        const [state = 0, bits = 0, gas = 0, , own = 0] = image;
        expect(state === 3, `${gas} counts of ${own}`).toBe(gas >= own);
        expect((bits & 1) === 1).toBe(gas >= own);
      }),
      { numRuns: 500 },
    );
  });

  test('turn at the setpoint itself, to the last count', () => {
    expect(read(device(), 19.99)).toMatchObject({ state: 'measuring', gasPercentLfl: 19.9 });
    expect(read(device(), 20 - 1e-12)).toMatchObject({ state: 'gas', gasPercentLfl: 20 });
    expect(read(device(), 20)).toMatchObject({ state: 'gas', gasPercentLfl: 20 });
  });

  test('report gas early and never late where the setpoint lies between two counts', () => {
    const facts = { ...FACTS, setpoint: percentLfl(24.93) };
    expect(read(device(), 24.9, ms(9000), 0, facts)).toMatchObject({
      state: 'gas',
      setpointPercentLfl: 24.9,
    });
    expect(read(device(), 24.8, ms(9000), 0, facts).state).toBe('measuring');
  });

  test('keep a setpoint that a conversion left a rounding error low', () => {
    const facts = { ...FACTS, setpoint: percentLfl(20 - 1e-12) };
    expect(read(device(), 0, ms(9000), 0, facts).setpointPercentLfl).toBe(20);
  });

  test('never have a setpoint of zero: clean air is no gas', () => {
    const facts = { ...FACTS, setpoint: percentLfl(0.01) };
    expect(read(device(), 0, ms(9000), 0, facts)).toMatchObject({
      state: 'measuring',
      setpointPercentLfl: 0.1,
    });
  });

  test('agree by the scale of the profile, fine or coarse, and by 0.1 %LFL where it shows no number', () => {
    const profile = referenceProfile();
    const { gasPercentLfl, ...others } = profile.points;
    if (gasPercentLfl === undefined) throw new Error('the reference sensor shows a number');
    const coarse = device({
      ...profile,
      points: { ...others, gasPercentLfl: { ...gasPercentLfl, scale: 1 } },
    });
    expect(read(coarse, 19.9)).toMatchObject({ state: 'measuring', gasPercentLfl: 19 });
    expect(read(coarse, 20.4)).toMatchObject({ state: 'gas', gasPercentLfl: 20 });
    const numberless = device({ ...profile, points: others });
    expect(read(numberless, 20.06)).toMatchObject({ state: 'gas', gasPercentLfl: 20 });
  });
});

describe('a reading', () => {
  test('is never above pure vapour and never below zero, whatever scatters or is off', () => {
    const pure = percentLflOf(r32().vapourKgPerM3, r32());
    const shifts = fc.constantFrom('-900 %LFL', '-5 %LFL', '30 %LFL', '900 %LFL');
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 701, noNaN: true }),
        shifts,
        fc.double({ min: -5, max: 5, noNaN: true }),
        (sensed, by, scatter) => {
          const one = device();
          give(one, [fault('offset', { by }), fault('noisy', { by: '10 %LFL' })]);
          const { gasPercentLfl, gasPercentVol } = read(one, sensed, ms(9000), scatter);
          expect(gasPercentLfl).toBeGreaterThanOrEqual(0);
          expect(gasPercentLfl).toBeLessThanOrEqual(pure);
          expect(gasPercentVol).toBeGreaterThanOrEqual(0);
          expect(gasPercentVol).toBeLessThanOrEqual(100);
        },
      ),
    );
  });

  test('is the same amount in LFL percent and in percent of volume', () => {
    // 20 % of 0.307 kg/m3 at 52.0 g/mol and 24.465 l/mol.
    expect(read(device(), 20).gasPercentVol).toBeCloseTo((0.2 * 0.307 * 24.465 * 100) / 52, 3);
  });
});

describe('what a sensor counts', () => {
  test('is one measurement a second since power-up, and wraps at 65536', () => {
    const one = device();
    expect(read(one, 0, ms(999)).counter).toBe(0);
    expect(read(one, 0, ms(12_500)).counter).toBe(12);
    expect(read(one, 0, ms(65_536 * S - 1)).counter).toBe(65_535);
    expect(read(one, 0, ms(65_536 * S)).counter).toBe(0);
    powerDown(one, ms(70_000 * S));
    expect(read(one, 0, ms(70_005 * S)).counter, 'without power nothing counts').toBe(0);
    powerUp(one, ms(70_010 * S));
    expect(read(one, 0, ms(70_013 * S)).counter).toBe(3);
  });

  test('is its hours in operation, over every cut', () => {
    const one = device();
    expect(read(one, 0, ms(H - 1)).hours).toBe(0);
    powerDown(one, ms(1.5 * H));
    powerDown(one, ms(2 * H));
    expect(read(one, 0, ms(9 * H)).hours).toBe(1);
    powerUp(one, ms(9 * H));
    expect(read(one, 0, ms(9.5 * H - 1)).hours).toBe(1);
    expect(read(one, 0, ms(9.5 * H)).hours).toBe(2);
  });

  test('is the days of service it has left, down to a service that is due', () => {
    const facts = { ...FACTS, serviceDaysLeft: 2 };
    const one = device();
    expect(read(one, 0, ms(DAY - 1), 0, facts)).toMatchObject({ serviceDaysLeft: 2, serviceDue: false });
    expect(read(one, 0, ms(DAY), 0, facts)).toMatchObject({ serviceDaysLeft: 1, serviceDue: false });
    expect(read(one, 0, ms(2 * DAY), 0, facts)).toMatchObject({ serviceDaysLeft: 0, serviceDue: true });
    expect(read(one, 0, ms(9 * DAY), 0, facts).serviceDaysLeft).toBe(0);
  });
});

test('a sensor is brought up to a moment without harm where nothing reboots it', () => {
  const one = device();
  bringUpTo(one, ms(50 * S));
  expect(read(one, 0, ms(50 * S)).counter).toBe(50);
});
