/**
 * stay-off and recheck: one question, whether mitigation was left while a reason held, in two parts of time.
 */
import { describe, expect, test } from 'vitest';
import { during, GAS, mitigating, outcome, sensor, type Times, trace, verdict } from './trace-builder.ts';

const LENGTH_S = 900;
/** Gas from 0:00:10 to 0:06:40: laxly until 0:06:39. */
const lingering = [sensor('coil-a', LENGTH_S, during(10, 400, GAS))];
const left = (times: Times): ReturnType<typeof trace> =>
  trace(LENGTH_S, { sensors: lingering, outputs: mitigating(times) });

describe('stay-off', () => {
  test('is held where mitigation stands while the reason lasts', () => {
    expect(outcome('stay-off', left([[20, 900]]))).toEqual(['held', 0]);
  });

  test('is broken by as long as it was left', () => {
    expect(
      verdict(
        'stay-off',
        left([
          [20, 100],
          [107, 900],
        ]),
      ),
    ).toMatchObject({
      result: 'broken',
      marginS: -7,
      atMs: 100_000,
      sensor: 'coil-a',
      because: [
        'The episode began at 0:00:10: coil-a reported gas, 25 %LFL, at 0:00:10.',
        'Mitigation was left at 0:01:40 (fan not commanded on, dampers not commanded open) ' +
          'while that reason held, for 7 s.',
        'The hold (5 min) since the first reason had not passed by then.',
      ],
    });
  });

  test('is broken by one millisecond of leaving', () => {
    expect(
      outcome(
        'stay-off',
        left([
          [20, 100],
          [100.001, 900],
        ]),
      ),
    ).toEqual(['broken', -0.001]);
  });

  test('is broken until the reason ends where mitigation does not come back', () => {
    expect(outcome('stay-off', left([[20, 100]]))).toEqual(['broken', -(399 - 100)]);
  });

  test('takes what stood at the onset for reached', () => {
    expect(
      outcome(
        'stay-off',
        left([
          [0, 11],
          [12, 900],
        ]),
      ),
    ).toEqual(['broken', -1]);
    expect(
      outcome(
        'stay-off',
        left([
          [0, 10],
          [12, 900],
        ]),
      ),
    ).toEqual(['held', 0]);
  });

  test('lets go with the last answer at the setpoint: what is left then is hold’s', () => {
    const late = left([[20, 399]]);
    expect(outcome('stay-off', late)).toEqual(['held', 0]);
    expect(outcome('recheck', late)).toEqual(['held', 0]);
    expect(outcome('hold', late)[0]).toBe('broken');
  });

  test('names the reason that stood, not the one that began the episode', () => {
    const sensors = [
      sensor('coil-a', LENGTH_S, during(10, 40, GAS)),
      sensor('coil-b', LENGTH_S, during(30, 200, null)),
    ];
    const judged = trace(LENGTH_S, {
      sensors,
      outputs: mitigating([
        [20, 100],
        [110, 900],
      ]),
    });
    expect(verdict('stay-off', judged)).toMatchObject({ sensor: 'coil-b', marginS: -10 });
    expect(verdict('stay-off', judged).because[1]).toBe(
      'coil-b had not answered since it was asked at 0:00:30.',
    );
  });

  test('names no reason that had ended, or had not begun', () => {
    const sensors = [
      sensor('coil-a', LENGTH_S, during(10, 40, GAS)),
      sensor('coil-b', LENGTH_S, during(30, 200, GAS)),
      sensor('coil-c', LENGTH_S, during(150, 300, GAS)),
    ];
    const judged = trace(LENGTH_S, {
      sensors,
      outputs: mitigating([
        [20, 100],
        [110, 900],
      ]),
    });
    expect(verdict('stay-off', judged)).toMatchObject({ sensor: 'coil-b', marginS: -10 });
  });

  test('is not exercised where mitigation was never reached, or only after the reason', () => {
    expect(outcome('stay-off', left([]))).toEqual(['not exercised', null]);
    expect(outcome('stay-off', left([[399, 900]]))).toEqual(['not exercised', null]);
  });

  test('takes no leaving for one that a fire brought', () => {
    const sketch = {
      sensors: lingering,
      outputs: mitigating([
        [20, 100],
        [130, 900],
      ]),
    };
    const judged = trace(LENGTH_S, { ...sketch, inputs: { fire: [[100, 120]] } });
    expect(outcome('stay-off', judged)).toEqual(['held', 0]);
  });
});

describe('recheck', () => {
  test('takes over when the hold has passed since the first reason, to the millisecond', () => {
    const before = left([
      [20, 309.999],
      [320, 900],
    ]);
    expect(outcome('stay-off', before)).toEqual(['broken', -10.001]);
    expect(outcome('recheck', before)).toEqual(['held', 0]);
    const onTheClock = left([
      [20, 310],
      [320, 900],
    ]);
    expect(outcome('stay-off', onTheClock)).toEqual(['held', 0]);
    expect(verdict('recheck', onTheClock)).toMatchObject({ result: 'broken', marginS: -10, atMs: 310_000 });
    expect(verdict('recheck', onTheClock).because.at(-1)).toBe(
      'The hold (5 min) since the first reason had passed by then.',
    );
  });

  test('is held where mitigation stood on', () => {
    expect(outcome('recheck', left([[20, 900]]))).toEqual(['held', 0]);
  });

  test('is not exercised where no reason held then', () => {
    const sensors = [sensor('coil-a', LENGTH_S, during(10, 300, GAS))];
    expect(outcome('recheck', trace(LENGTH_S, { sensors, outputs: mitigating([[20, 900]]) }))).toEqual([
      'not exercised',
      null,
    ]);
  });

  test('counts the hold from the first reason of the episode, not of the sensor', () => {
    const sensors = [
      sensor('coil-a', LENGTH_S, during(10, 30, GAS)),
      sensor('coil-b', LENGTH_S, during(200, 400, GAS)),
    ];
    const judged = trace(LENGTH_S, {
      sensors,
      outputs: mitigating([
        [20, 310],
        [312, 900],
      ]),
    });
    expect(outcome('recheck', judged)).toEqual(['broken', -2]);
  });
});
