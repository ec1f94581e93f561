import { describe, expect, test } from 'vitest';
import { endPoison } from '../../../sim/device/index.ts';
import { ms } from '../../../src/units/index.ts';
import { device, fault, give, NOW, read } from './devices.ts';

const H = 3_600_000;
const dulled = (factor: number) => fault('poisoned', { factor, halfLife: '1 h' });
const at = (hours: number) => ms(NOW + hours * H);

describe('a poisoned sensor', () => {
  test('sees a part of the gas for as long as the vapour is there, and says nothing of it', () => {
    const one = device();
    give(one, [dulled(0.2)]);
    expect(read(one, 30, at(0))).toMatchObject({ state: 'measuring', gasPercentLfl: 6, faultCode: 0 });
    expect(read(one, 30, at(100))).toMatchObject({ gasPercentLfl: 6, selfTestPassed: true });
  });

  test('then gets back half of what is missing in every half-life', () => {
    const one = device();
    give(one, [dulled(0.2)]);
    endPoison(one, at(5));
    expect([5, 6, 7, 8].map((hours) => read(one, 40, at(hours)).gasPercentLfl)).toEqual([8, 24, 32, 36]);
  });

  test('counts as sound once 99 % are back, and not a millisecond sooner', () => {
    const one = device();
    give(one, [dulled(0)]);
    const recoveryMs = endPoison(one, at(0)) ?? 0;
    expect(recoveryMs).toBe(Math.ceil(H * Math.log2(100)));
    const back = (now: number): number => read(one, 500, ms(now)).gasPercentLfl ?? 0;
    expect(back(NOW + recoveryMs)).toBeGreaterThanOrEqual(0.99 * 500);
    expect(back(NOW + recoveryMs - 20_000)).toBeLessThan(0.99 * 500);
    give(one, [], 0, ms(NOW + recoveryMs));
    expect(back(NOW + recoveryMs)).toBe(500);
  });

  test('that was hardly dulled is sound at once', () => {
    const one = device();
    give(one, [dulled(0.995)]);
    expect(endPoison(one, at(0))).toBe(0);
  });

  test('cannot be hurried, nor can one that is not poisoned come round', () => {
    const one = device();
    expect(endPoison(one, at(0))).toBeNull();
    give(one, [dulled(0.2)]);
    endPoison(one, at(0));
    expect(endPoison(one, at(1))).toBeNull();
    expect(read(one, 40, at(1)).gasPercentLfl).toBe(24);
  });

  test('goes on coming round whatever else befalls it', () => {
    const [poisoned, one] = [dulled(0.2), device()];
    give(one, [poisoned]);
    endPoison(one, at(0));
    give(one, [poisoned, fault('frozen-counter')], 40, at(1));
    expect(read(one, 40, at(1)).gasPercentLfl).toBe(24);
  });

  test('poisoned again sees no more than it did, and no more than the new vapour leaves', () => {
    const one = device();
    give(one, [dulled(0.2)]);
    endPoison(one, at(0));
    give(one, [dulled(0.9)], 0, at(1));
    expect(read(one, 40, at(9)).gasPercentLfl, '0.6 were back').toBe(24);
    give(one, [dulled(0.5)], 0, at(9));
    expect(read(one, 40, at(9)).gasPercentLfl).toBe(20);
  });
});
