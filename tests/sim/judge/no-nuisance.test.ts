import { describe, expect, test } from 'vitest';
import type { Answer } from '../../../sim/judge/index.ts';
import {
  during,
  GAS,
  outcome,
  type Sketch,
  sensor,
  type Times,
  trace,
  verdict,
  WARMING,
} from './trace-builder.ts';

const LENGTH_S = 900;
const judgedWith = (compressor: Times, more: Sketch = {}): ReturnType<typeof trace> =>
  trace(LENGTH_S, {
    sensors: [sensor('coil-a', LENGTH_S, () => ({}))],
    outputs: { 'compressor.a': compressor },
    inputs: { 'call.cooling': [[100, LENGTH_S]], airflow: [[0, LENGTH_S]] },
    ...more,
  });
const saying = (fromS: number, toS: number, said: Partial<Answer> | null): Sketch => ({
  sensors: [sensor('coil-a', LENGTH_S, during(fromS, toS, said))],
});

describe('no-nuisance', () => {
  test('is held, with the whole limit to spare, where a call served for 5 min was not stopped', () => {
    expect(outcome('no-nuisance', judgedWith([[110, 900]]))).toEqual(['held', 20]);
    expect(outcome('no-nuisance', judgedWith([[600, 900]]))).toEqual(['held', 20]);
    expect(outcome('no-nuisance', judgedWith([[600.001, 900]]))).toEqual(['not exercised', null]);
  });

  test('is held to the millisecond, silentAfter and respondWithin after the last reason', () => {
    const gas = saying(480, 480.5, GAS);
    const short = (toS: number): Times => [[400, toS]];
    expect(verdict('no-nuisance', judgedWith([[110, 501]], gas))).toMatchObject({
      result: 'held',
      marginS: 0,
      because: expect.arrayContaining(['The last reason or beginning of one was 20 s before.']) as unknown,
    });
    expect(outcome('no-nuisance', judgedWith([[110, 501.001]], gas))).toEqual(['broken', -0.001]);
    expect(outcome('no-nuisance', judgedWith(short(501), gas))).toEqual(['not exercised', null]);
  });

  test('is exercised by a little gas reported meanwhile', () => {
    const little = saying(850, 860, { gasPercentLfl: 17.9 });
    expect(outcome('no-nuisance', judgedWith([[800, 900]], little))).toEqual(['held', 20]);
    expect(outcome('no-nuisance', judgedWith([[800, 850]], little))).toEqual(['broken', 20 - 850]);
  });

  test('is broken by a stop without a reason', () => {
    expect(
      verdict(
        'no-nuisance',
        judgedWith([
          [110, 500],
          [690, 900],
        ]),
      ),
    ).toMatchObject({
      result: 'broken',
      atMs: 500_000,
      because: [
        'The last output that served a standing call went off at 0:08:20.',
        'There had been no reason, and no beginning of one, since 0:00:00.',
        'The limit is 20 s (silentAfter and respondWithin of the rig): missed by 8 min.',
      ],
    });
  });

  test('is not broken where what goes off served a call that has ended, while another stands', () => {
    const calls = (heatingToS: number): Sketch => ({
      outputs: { heat: [[110, 501]] },
      inputs: {
        'call.cooling': [[450, LENGTH_S]],
        'call.heating': [[100, heatingToS]],
        airflow: [[0, LENGTH_S]],
      },
    });
    expect(outcome('no-nuisance', judgedWith([], calls(501)))).toEqual(['held', 20]);
    expect(outcome('no-nuisance', judgedWith([], calls(500)))).toEqual(['held', 19]);
    expect(outcome('no-nuisance', judgedWith([], calls(480)))).toEqual(['broken', -1]);
    expect(outcome('no-nuisance', judgedWith([], calls(600)))).toEqual(['broken', 20 - 501]);
  });

  test('is not broken by the watchdog, where a request to the field I/O was lost', () => {
    const runs: Times = [
      [110, 500],
      [503, 900],
    ];
    expect(outcome('no-nuisance', judgedWith(runs, { commandsLost: [[500, 503]] }))).toEqual(['held', 20]);
    expect(outcome('no-nuisance', judgedWith(runs, { commandsLost: [[460, 463]] }))).toEqual(['broken', -17]);
  });

  test.each([
    ['a number at clearBelow', { gasPercentLfl: 18 }],
    ['a request unanswered', null],
    ['warming up', WARMING],
    ['a self-test not passed', { selfTestPassed: false }],
    ['a failure', { state: 'failed' }],
    ['gas', GAS],
  ] as const)('excuses a stop by %s up to silentAfter + respondWithin before', (_, said) => {
    const seen = saying(499, 500, said);
    const endS =
      said === null || said === WARMING || (said as Partial<Answer>).state === undefined ? 499 : 500;
    expect(outcome('no-nuisance', judgedWith([[110, endS + 20]], seen))).toEqual(['held', 0]);
    expect(outcome('no-nuisance', judgedWith([[110, endS + 20.001]], seen))).toEqual(['broken', -0.001]);
  });

  test('excuses a stop by a counter that rests longer than its period', () => {
    expect(outcome('no-nuisance', judgedWith([[110, 502]], saying(500, 502, { counter: 499 })))).toEqual([
      'held',
      19,
    ]);
    expect(outcome('no-nuisance', judgedWith([[110, 502]], saying(500, 501, { counter: 499 })))[0]).toBe(
      'broken',
    );
  });

  test('excuses a stop by missing airflow, and by what cannot be judged before it', () => {
    const inputs = {
      'call.cooling': [[100, LENGTH_S]],
      airflow: [
        [0, 480],
        [490, LENGTH_S],
      ],
    } as const;
    expect(outcome('no-nuisance', judgedWith([[110, 500]], { inputs }))).toEqual(['held', 10]);
    const controllerPower: Times = [
      [0, 480],
      [490, LENGTH_S],
    ];
    expect(outcome('no-nuisance', judgedWith([[110, 500]], { controllerPower }))).toEqual(['held', 10]);
  });

  test('lets a call that ends, and staging, be', () => {
    const inputs = { 'call.cooling': [[100, 500]], airflow: [[0, LENGTH_S]] } as const;
    expect(outcome('no-nuisance', judgedWith([[110, 500]], { inputs }))).toEqual(['held', 20]);
    const outputs = { 'compressor.a': [[110, 500]], 'compressor.b': [[400, 900]] } as const;
    expect(outcome('no-nuisance', judgedWith([], { outputs }))).toEqual(['held', 20]);
  });

  test('excuses a lock-out', () => {
    const latchAfter = { trips: 1, withinMs: 3_600_000 };
    const sensors = [sensor('coil-a', LENGTH_S, during(200, 220, GAS))];
    const outputs = { fan: [[0, 900]], damper: [[0, 900]], 'compressor.a': [[300, 840]] } as const;
    expect(outcome('no-nuisance', judgedWith([], { sensors, outputs }), { latchAfter })).toEqual([
      'held',
      20,
    ]);
    expect(outcome('no-nuisance', judgedWith([], { sensors, outputs }))[0]).toBe('broken');
  });
});
