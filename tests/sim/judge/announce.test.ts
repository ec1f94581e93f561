import { describe, expect, test } from 'vitest';
import type { Answer } from '../../../sim/judge/index.ts';
import { during, GAS, outcome, sensor, type Times, trace, verdict } from './trace-builder.ts';

const CASES: readonly (readonly ['alarm' | 'trouble', Partial<Answer> | null, number, number])[] = [
  // lamp, what is said from 0:00:10 to 0:01:00, onset and end of the reason
  ['alarm', GAS, 10, 59],
  ['alarm', { gasPercentLfl: 30 }, 10, 59],
  ['trouble', null, 15, 60],
  ['trouble', { state: 'failed' }, 10, 60],
  ['trouble', { gasPercentLfl: null }, 10, 60],
  ['trouble', { serial: 'other' }, 10, 60],
  ['trouble', { counter: 77 }, 15, 60],
];

describe.each(CASES)('announce: %s, where the sensor says %j', (lamp, said, onsetS, endS) => {
  const sensors = [sensor('coil-a', 200, during(10, 60, said), { serial: 'planned' })];
  const lit = (times: Times): ReturnType<typeof trace> => trace(200, { sensors, outputs: { [lamp]: times } });

  test('is held from respondWithin after the onset to its end', () => {
    expect(outcome('announce', lit([[onsetS + 15, endS]]))).toEqual(['held', 0]);
  });

  test('is broken by a millisecond missing at either end', () => {
    expect(verdict('announce', lit([[onsetS + 15.001, endS]]))).toMatchObject({
      result: 'broken',
      marginS: -0.001,
      sensor: 'coil-a',
    });
    expect(outcome('announce', lit([[0, endS - 0.001]]))).toEqual(['broken', -0.001]);
  });

  test('is broken by the other lamp', () => {
    const other = lamp === 'alarm' ? 'trouble' : 'alarm';
    expect(outcome('announce', trace(200, { sensors, outputs: { [other]: [[0, 200]] } }))[0]).toBe('broken');
  });
});

describe('announce', () => {
  test('wants trouble for missing airflow', () => {
    const fan: Times = [[10, 100]];
    expect(outcome('announce', trace(200, { outputs: { fan, trouble: [[35, 100]] } }))).toEqual(['held', 0]);
    expect(verdict('announce', trace(200, { outputs: { fan, trouble: [[36, 100]] } }))).toMatchObject({
      result: 'broken',
      marginS: -1,
      sensor: null,
      because: [
        'Airflow was missing; trouble was due from 0:00:35 until 0:01:40.',
        'It was off from 0:00:35, for 1 s in all.',
      ],
    });
  });

  test('counts from the power-up of the controller', () => {
    const sensors = [sensor('coil-a', 200, during(10, 100, GAS))];
    const outputs = { alarm: [[55, 99]] } as const;
    const judged = trace(200, { sensors, outputs, controllerPower: [[40, 200]] });
    expect(outcome('announce', judged)).toEqual(['held', 0]);
  });

  test('is not exercised by what went before respondWithin', () => {
    const sensors = [sensor('coil-a', 200, during(10, 26, GAS))];
    expect(outcome('announce', trace(200, { sensors }))).toEqual(['not exercised', null]);
  });
});
