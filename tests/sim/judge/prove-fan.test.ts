import { describe, expect, test } from 'vitest';
import { outcome, type Times, trace, verdict } from './trace-builder.ts';

const CALLED: Times = [[0, 200]];
/** Fan from 0:00:10: airflow is missing from 0:00:20, stopped is due at 0:00:35. */
const judgedWith = (
  compressor: Times,
  airflow: Times = [],
  call: Times = CALLED,
  fan: Times = [[10, 200]],
): ReturnType<typeof trace> =>
  trace(200, {
    outputs: { fan, 'compressor.a': compressor },
    inputs: { airflow, 'call.cooling': call },
  });

describe('prove-fan', () => {
  test('holds a stop at respondWithin after fanProofWithin, and not a millisecond later', () => {
    expect(outcome('prove-fan', judgedWith([[10, 35]]))).toEqual(['held', 0]);
    expect(verdict('prove-fan', judgedWith([[10, 35.001]]))).toMatchObject({
      result: 'broken',
      marginS: -0.001,
      atMs: 35_000,
      because: [
        'The fan was commanded without airflow for 10 s (fanProofWithin) by 0:00:20; no airflow before 0:03:20.',
        'A compressor or heat was on at 0:00:35, for 1 ms too long.',
        'The limit is 15 s (respondWithin of the rig): missed by 1 ms.',
      ],
    });
  });

  test('has the whole limit to spare where nothing ran', () => {
    expect(outcome('prove-fan', judgedWith([]))).toEqual(['held', 15]);
  });

  test('is broken by running again before there is airflow, also after the fan was given up', () => {
    expect(
      outcome(
        'prove-fan',
        judgedWith([
          [10, 25],
          [100, 104],
        ]),
      ),
    ).toEqual(['broken', -4]);
    const gaveUp = judgedWith(
      [
        [10, 25],
        [100, 104],
      ],
      [],
      CALLED,
      [
        [10, 60],
        [95, 200],
      ],
    );
    expect(outcome('prove-fan', gaveUp)).toEqual(['broken', -4]);
  });

  test('asks nothing of a stop at the last moment where nobody called', () => {
    expect(outcome('prove-fan', judgedWith([[10, 35]], [], []))).toEqual(['not exercised', null]);
  });

  test('is over with airflow', () => {
    expect(
      outcome(
        'prove-fan',
        judgedWith(
          [
            [10, 25],
            [100, 200],
          ],
          [[100, 200]],
        ),
      ),
    ).toEqual(['held', 10]);
  });

  test('is not exercised by airflow in fanProofWithin, to the millisecond', () => {
    expect(outcome('prove-fan', judgedWith([[10, 200]], [[20, 200]]))).toEqual(['not exercised', null]);
    expect(outcome('prove-fan', judgedWith([[10, 36]], [[36, 200]]))).toEqual(['broken', -1]);
  });

  test('is not exercised where airflow comes while a stop is still due, or without a call', () => {
    expect(outcome('prove-fan', judgedWith([[10, 200]], [[35, 200]]))).toEqual(['not exercised', null]);
    expect(outcome('prove-fan', judgedWith([], [], []))).toEqual(['not exercised', null]);
  });
});
