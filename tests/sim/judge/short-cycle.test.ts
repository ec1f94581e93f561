import { describe, expect, test } from 'vitest';
import { outcome, type Sketch, type Times, trace, verdict } from './trace-builder.ts';

const judgedWith = (compressor: Times, more: Sketch = {}): ReturnType<typeof trace> =>
  trace(600, {
    outputs: { 'compressor.b': compressor },
    inputs: { 'call.cooling': [[0, 600]] },
    ...more,
  });

describe('short-cycle', () => {
  test('holds an off time of compressorMinOff, and not one a millisecond shorter', () => {
    expect(
      outcome(
        'short-cycle',
        judgedWith([
          [10, 100],
          [280, 600],
        ]),
      ),
    ).toEqual(['held', 0]);
    expect(
      verdict(
        'short-cycle',
        judgedWith([
          [10, 100],
          [279.999, 600],
        ]),
      ),
    ).toMatchObject({
      result: 'broken',
      marginS: -0.001,
      atMs: 279_999,
      because: [
        'Compressor b was switched off at 0:01:40 and on again at 0:04:39.999, 179.999 s later.',
        'The limit is 3 min (compressorMinOff of the rig): missed by 1 ms.',
      ],
    });
  });

  test('tells an off time that the watchdog began', () => {
    const runs: Times = [
      [10, 100],
      [102, 600],
    ];
    expect(verdict('short-cycle', judgedWith(runs, { watchdogHolds: [[100, 102]] }))).toMatchObject({
      result: 'broken',
      because: [
        'Compressor b was switched off at 0:01:40 and on again at 0:01:42, 2 s later.',
        'No complete write had come for 5 s by 0:01:40, so the field I/O’s watchdog dropped the outputs.',
        'The limit is 3 min (compressorMinOff of the rig): missed by 2 min 58 s.',
      ],
    });
  });

  test('does not count the time before the first run', () => {
    expect(outcome('short-cycle', judgedWith([[1, 600]]))).toEqual(['not exercised', null]);
  });

  test('counts each compressor for itself', () => {
    const outputs = {
      'compressor.a': [
        [0, 100],
        [110, 200],
      ],
      'compressor.b': [[10, 600]],
    } as const;
    expect(outcome('short-cycle', judgedWith([], { outputs }))).toEqual(['broken', -170]);
  });

  test('is decided by an off time that the drill ends once it was long enough', () => {
    expect(outcome('short-cycle', judgedWith([[10, 420]]))).toEqual(['held', 0]);
    expect(outcome('short-cycle', judgedWith([[10, 420.001]]))).toEqual(['not exercised', null]);
  });

  test('is exercised by a call before the time has passed only', () => {
    const calling = (call: Times): Sketch => ({ inputs: { 'call.cooling': call } });
    expect(
      outcome(
        'short-cycle',
        judgedWith(
          [[10, 100]],
          calling([
            [0, 100],
            [280, 600],
          ]),
        ),
      )[0],
    ).toBe('not exercised');
    expect(
      outcome(
        'short-cycle',
        judgedWith(
          [[10, 100]],
          calling([
            [0, 100],
            [279, 600],
          ]),
        ),
      )[0],
    ).toBe('held');
    expect(
      outcome(
        'short-cycle',
        judgedWith(
          [
            [10, 100],
            [110, 120],
          ],
          calling([]),
        ),
      ),
    ).toEqual(['broken', -170]);
  });

  test('does not count what the watchdog switched off over a lost request', () => {
    const runs: Times = [
      [10, 100],
      [103, 300],
      [310, 600],
    ];
    const lost = (times: Times): ReturnType<typeof outcome> =>
      outcome('short-cycle', judgedWith(runs, { commandsLost: times }));
    expect(lost([[100, 103]])).toEqual(['broken', -170]);
    expect(
      lost([
        [100, 103],
        [300, 310],
      ])[0],
    ).toBe('not exercised');
  });

  test('does not count what a power cut or a silent field I/O switched off', () => {
    const cut: Times = [
      [0, 100],
      [105, 600],
    ];
    expect(
      outcome(
        'short-cycle',
        judgedWith(
          [
            [10, 100],
            [110, 600],
          ],
          { controllerPower: cut },
        ),
      )[0],
    ).toBe('not exercised');
    expect(
      outcome(
        'short-cycle',
        judgedWith(
          [
            [10, 102],
            [110, 600],
          ],
          { fieldIoAnswers: cut },
        ),
      )[0],
    ).toBe('not exercised');
  });
});
