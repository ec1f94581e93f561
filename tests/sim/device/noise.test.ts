import { describe, expect, test } from 'vitest';
import { measure, newDevice, powerDown, powerUp } from '../../../sim/device/index.ts';
import { ms } from '../../../src/units/index.ts';
import { fault, give, plan, read } from './devices.ts';

function noisy(noisePercentLfl: number) {
  const one = newDevice({ ...plan(), noisePercentLfl });
  powerUp(one, ms(500));
  const drawn: number[] = [];
  /** Draws 1, 2, 3 … */
  const at = (now: number, sensed = 10): number | null => {
    measure(one, ms(now), { normal: () => drawn.push(now) });
    return read(one, sensed, ms(now)).gasPercentLfl;
  };
  return { one, at, drawn };
}

describe('the noise of a sensor of its own', () => {
  test('is one draw a measurement, so that all reads of one agree', () => {
    const { at, drawn } = noisy(0.5);
    expect([9500, 9501, 10_499].map((now) => at(now))).toEqual([10.5, 10.5, 10.5]);
    expect([10_500, 11_500, 11_600].map((now) => at(now))).toEqual([11, 11.5, 11.5]);
    expect(drawn).toEqual([9500, 10_500, 11_500]);
  });

  test('is none where the rig tells of none: nothing is drawn', () => {
    const { at, drawn } = noisy(0);
    expect([9500, 10_500].map((now) => at(now))).toEqual([10, 10]);
    expect(drawn).toEqual([]);
  });

  test('is drawn anew after a power-up, whose measurements begin with it', () => {
    const { one, at, drawn } = noisy(0.5);
    at(9500);
    powerDown(one, ms(9600));
    powerUp(one, ms(9700));
    at(9800);
    expect(drawn).toEqual([9500, 9800]);
  });

  test('needs no supply to be asked for', () => {
    const { one, at, drawn } = noisy(0.5);
    powerDown(one, ms(9600));
    at(9700);
    expect(drawn).toEqual([9700]);
  });

  test('adds to that of a fault, and takes state and bits with it', () => {
    const { one, at } = noisy(2);
    give(one, [fault('noisy', { by: '4 %LFL' })]);
    at(9500);
    expect(read(one, 15, ms(9500), 1)).toMatchObject({ gasPercentLfl: 21, state: 'gas', gasBit: true });
    expect(read(one, 15, ms(9500), 0)).toMatchObject({ gasPercentLfl: 17, state: 'measuring' });
  });
});
