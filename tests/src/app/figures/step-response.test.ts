/** t50 and t90 of the virtual sensor, measured by a step of test gas, against the closed form. */
import { describe, expect, test } from 'vitest';
import { stepFacts } from '../../../../src/app/figures/bench-words.ts';
import { stepResponses } from '../../../../src/app/figures/step-response.ts';
import type { ModbusSensor, Rig } from '../../../../src/rig/index.ts';
import { ms } from '../../../../src/units/index.ts';
import { demoRig } from '../../../helpers/demo.ts';

function rigWith(has: Partial<ModbusSensor>): Rig {
  const rig = demoRig();
  return {
    ...rig,
    sensors: rig.sensors.map((one) =>
      one.id === 'coil-a' && one.kind === 'modbus' ? { ...one, ...has } : one,
    ),
  };
}

/** First order behind a dead time: the first whole ms at or after deadTime - tau ln(1 - x). */
const closedMs = (t90: number, dead: number, x: number): number =>
  Math.ceil(dead - ((t90 - dead) / Math.LN10) * Math.log(1 - x) - 1e-6);

describe('a step of test gas', () => {
  test.each([
    [10_000, 0],
    [10_000, 2000],
    [60_000, 0],
    [60_000, 15_000],
    [7001, 1],
    [3000, 2999],
    [1, 0],
  ])('shows t50 and t90 to 1 ms of −τ ln(1 − x): t90 %d ms, of it dead time %d ms', (t90, dead) => {
    const rig = rigWith({ responseT90Ms: ms(t90), deadTimeMs: ms(dead) });
    const [measured] = stepResponses(rig);
    expect(measured).toEqual({
      id: 'coil-a',
      t50Ms: closedMs(t90, dead, 0.5),
      t90Ms: closedMs(t90, dead, 0.9),
    });
    expect(measured?.t90Ms, 't90 of the data sheet includes the dead time').toBe(t90);
  });

  test('is of the sensor as good as new, out of its box, without its noise and its age', () => {
    const worn = rigWith({
      noisePercentLfl: 3,
      driftPerYear: { zeroPercentLfl: 1, spanShare: -0.05 },
      ageMs: ms(300_000_000_000),
      outOfBox: true,
      selfTestMs: ms(4000.5),
    });
    expect(stepResponses(worn)[0]).toEqual({ id: 'coil-a', t50Ms: 3011, t90Ms: 10_000 });
  });

  test('is shown of every sensor that has a reading, and of no other', () => {
    expect(stepFacts(rigWith({ deadTimeMs: ms(2000) }))).toEqual([
      { name: 'coil-a', value: 'half of it after 4.409 s (t50), 90 % after 10 s (t90)' },
      { name: 'coil-b', value: 'half of it after 3.011 s (t50), 90 % after 10 s (t90)' },
    ]);
  });
});
