import { describe, expect, test } from 'vitest';
import { outcome, type Sketch, type Times, trace, verdict } from './trace-builder.ts';

const burning = (outputs: NonNullable<Sketch['outputs']>, more: Sketch = {}): ReturnType<typeof trace> =>
  trace(100, { outputs, inputs: { fire: [[10, 60]] }, ...more });

describe('fire', () => {
  test.each(['fan', 'heat', 'compressor.a', 'compressor.b'])('wants %s off within 5 s', (output) => {
    expect(outcome('fire', burning({ [output]: [[0, 15]] }))).toEqual(['held', 0]);
    expect(outcome('fire', burning({ [output]: [[0, 15.001]] }))).toEqual(['broken', -0.001]);
  });

  test('wants them to stay off while it stands', () => {
    const fan: Times = [
      [0, 12],
      [50, 53],
    ];
    expect(verdict('fire', burning({ fan }))).toMatchObject({
      result: 'broken',
      marginS: -3,
      atMs: 50_000,
      because: [
        'The fire signal stood from 0:00:10 to 0:01:00.',
        'Fan, heat or a compressor was on at 0:00:50, for 3 s too long.',
        'The limit is 5 s (a choice of this bench): missed by 3 s.',
      ],
    });
    expect(
      outcome(
        'fire',
        burning({
          fan: [
            [0, 12],
            [60, 100],
          ],
        }),
      ),
    ).toEqual(['held', 3]);
  });

  test('asks nothing of a controller that has no power or no field I/O, and counts anew after', () => {
    const away: Times = [
      [0, 5],
      [30, 100],
    ];
    for (const gap of ['rigPower', 'controllerPower', 'fieldIoAnswers'] as const) {
      expect(outcome('fire', burning({ fan: [[0, 34]] }, { [gap]: away }))).toEqual(['held', 1]);
    }
  });

  test('counts only while the field I/O owes no answer', () => {
    const fieldIoOwes: Times = [
      [2, 4],
      [8, 11],
      [14, 16],
      [18, 30],
    ];
    expect(outcome('fire', burning({ fan: [[0, 18]] }, { fieldIoOwes }))).toEqual(['held', 0]);
    expect(verdict('fire', burning({ fan: [[0, 19]] }, { fieldIoOwes }))).toMatchObject({
      marginS: -1,
      because: [
        'The fire signal stood from 0:00:10 to 0:01:00.',
        'Fan, heat or a compressor was on at 0:00:18, for 1 s too long.',
        'The limit is 8 s (5 s, a choice of this bench, and 3 s in which the field I/O owed an answer): ' +
          'missed by 1 s.',
      ],
    });
  });

  test('takes the fan that the watchdog turned on over a lost request for off, and lets nobody off else', () => {
    const fan: Times = [
      [0, 12],
      [30, 33],
    ];
    expect(outcome('fire', burning({ fan }, { commandsLost: [[30, 33]] }))).toEqual(['held', 3]);
    expect(outcome('fire', burning({ fan }, { commandsLost: [[30, 32]] }))).toEqual(['broken', -1]);
  });

  test('is decided by a signal shorter than 5 s only where all went off in it', () => {
    const inputs = { fire: [[10, 14]] } as const;
    expect(outcome('fire', burning({ fan: [[0, 13]] }, { inputs }))).toEqual(['held', 2]);
    expect(outcome('fire', burning({ fan: [[0, 14]] }, { inputs }))).toEqual(['not exercised', null]);
  });

  test('is not exercised without one', () => {
    expect(outcome('fire', trace(100, {}))).toEqual(['not exercised', null]);
  });
});
