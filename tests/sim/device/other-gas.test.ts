import { describe, expect, test } from 'vitest';
import { type Device, newDevice, powerUp } from '../../../sim/device/index.ts';
import type { ModbusSensor } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { fault, give, NOW, plan, read } from './devices.ts';

const TAU_MS = 10_000 / Math.LN10;

function sensor(has: Partial<ModbusSensor> = {}): Device {
  const made = newDevice({ ...plan(), ...has });
  powerUp(made, ms(0));
  return made;
}
/** As the register cuts it. */
const counts = (percentLfl: number): number => Math.floor(percentLfl * 10 + 1e-6) / 10;
const reading = (one: Device, afterMs: number, sensed = 0): number | null =>
  read(one, sensed, ms(NOW + afterMs)).gasPercentLfl;

describe('another gas', () => {
  test('comes and goes as fast as the element is, and is taken for so much refrigerant', () => {
    const one = sensor();
    give(one, [fault('other-gas', { by: '30 %LFL' })]);
    for (const at of [0, 1000, 5000, 9999]) {
      expect(reading(one, at), `${at} ms`).toBe(counts(30 * -Math.expm1(-at / TAU_MS)));
    }
    expect(reading(one, 10_000), 't90').toBe(27);
    const shown = 30 * -Math.expm1(-20_000 / TAU_MS);
    give(one, [], 0, ms(NOW + 20_000));
    expect(reading(one, 20_000)).toBe(counts(shown));
    expect(reading(one, 30_000)).toBe(counts(shown / 10));
  });

  test('adds to refrigerant, up to a state of gas that there is none of', () => {
    const one = sensor();
    give(one, [fault('other-gas', { by: '12 %LFL' })]);
    expect(read(one, 9, ms(NOW + 60_000))).toMatchObject({ state: 'gas', gasPercentLfl: 21 - 0.1 });
    expect(read(one, 7, ms(NOW + 60_000))).toMatchObject({ state: 'measuring' });
  });

  test('is told in any unit of gas', () => {
    const one = sensor();
    give(one, [fault('other-gas', { by: '10000 ppm' })]);
    // 1 %vol of R-32 is 6.923 %LFL at 52.0 g/mol and 24.465 l/mol.
    expect(reading(one, 200_000)).toBe(6.9);
  });

  test('shows after the dead time, and comes to 90 % at the t90 all the same', () => {
    const one = sensor({ deadTimeMs: ms(2000) });
    give(one, [fault('other-gas', { by: '30 %LFL' })]);
    expect([1999, 2000].map((at) => reading(one, at))).toEqual([0, 0]);
    expect(reading(one, 6000)).toBe(counts(30 * -Math.expm1((-4000 * Math.LN10) / 8000)));
    expect([9999, 10_000].map((at) => reading(one, at))).toEqual([26.9, 27]);
  });

  test('follows a slow element, from the moment at which it became slow', () => {
    const gas = fault('other-gas', { by: '30 %LFL' });
    const one = sensor();
    give(one, [gas]);
    give(one, [gas, fault('slow', { t90: '40 s' })], 0, ms(NOW + 10_000));
    expect(reading(one, 10_000)).toBe(27);
    expect(reading(one, 50_000)).toBe(29.7);
  });

  test('is hidden from an element that is blind, and dulled with one that is poisoned', () => {
    const gas = fault('other-gas', { by: '30 %LFL' });
    const blind = sensor();
    give(blind, [gas, fault('blind')]);
    expect(reading(blind, 10_000)).toBe(0);
    const dull = sensor();
    give(dull, [gas, fault('poisoned', { factor: 0.5 })]);
    expect(reading(dull, 10_000)).toBe(13.5);
  });

  test('a lag that a fault puts within the dead time is as good as none', () => {
    const one = sensor({ deadTimeMs: ms(2000) });
    give(one, [fault('other-gas', { by: '30 %LFL' }), fault('slow', { t90: '1 s' })]);
    expect(reading(one, 2000)).toBe(0);
    expect(reading(one, 2001)).toBe(27);
  });
});
