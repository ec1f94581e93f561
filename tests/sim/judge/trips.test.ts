/** Which gas is another trip of a lock-out and which is none, where a hold is longer than it must be or power goes. */
import { describe, expect, test } from 'vitest';
import {
  during,
  GAS,
  mitigating,
  outcome,
  type Says,
  type Sketch,
  sensor,
  type Times,
  trace,
} from './trace-builder.ts';

const LENGTH_S = 2000;
const POLICY_2 = { latchAfter: { trips: 2, withinMs: 600_000 } };
/** Gas for 20 s from each of these seconds on. */
const gasAt =
  (...startsS: readonly number[]): Says =>
  (atS) =>
    startsS.some((startS) => atS >= startS && atS < startS + 20) ? GAS : {};
const judgedWith = (compressor: Times, more: Sketch & { says: Says }): ReturnType<typeof trace> =>
  trace(LENGTH_S, {
    sensors: [sensor('coil-a', LENGTH_S, more.says)],
    outputs: { ...mitigating([[0, LENGTH_S]]), 'compressor.a': compressor },
    inputs: { 'call.cooling': [[0, LENGTH_S]] },
    ...more,
  });

describe('latch in a hold that is longer than it must be', () => {
  /** Gas at 0:10, whose hold has passed at 5:30, and again at 5:40; a compressor at 25:00 shows a lock-out. */
  const again = (compressor: Times, more: Sketch = {}): ReturnType<typeof trace> =>
    judgedWith([...compressor, [1500, 1600]], { says: gasAt(10, 340), ...more });
  const LOCKED = ['broken', -100];
  const NOT_LOCKED = ['not exercised', null];

  test('counts gas that comes before mitigation has been left no second time', () => {
    expect(outcome('latch', again([]), POLICY_2)).toEqual(NOT_LOCKED);
    expect(outcome('latch', again([[340, 350]]), POLICY_2)).toEqual(NOT_LOCKED);
  });

  test('counts it where mitigation was left for a millisecond since the hold', () => {
    expect(outcome('latch', again([[339.999, 340]]), POLICY_2)).toEqual(LOCKED);
    expect(outcome('latch', again([[330, 330.001]]), POLICY_2)).toEqual(LOCKED);
    expect(outcome('latch', again([[329.999, 330]]), POLICY_2)).toEqual(NOT_LOCKED);
  });

  test('goes on through as many holds as follow one another', () => {
    const says = gasAt(10, 340, 700, 1030);
    expect(outcome('latch', judgedWith([[1400, 1500]], { says }), POLICY_2)).toEqual(NOT_LOCKED);
    const left = judgedWith(
      [
        [1029, 1030],
        [1400, 1500],
      ],
      { says },
    );
    expect(outcome('latch', left, { latchAfter: { trips: 2, withinMs: 1_200_000 } })).toEqual(LOCKED);
  });

  test('gives a mitigation that a fire took away `respondWithin` to stand again', () => {
    const after = (standsFromS: number): ReturnType<typeof trace> =>
      again([], {
        outputs: {
          ...mitigating([
            [0, 320],
            [standsFromS, LENGTH_S],
          ]),
          'compressor.a': [[1500, 1600]],
        },
        inputs: { 'call.cooling': [[0, LENGTH_S]], fire: [[320, 321]] },
      });
    expect(outcome('latch', after(336), POLICY_2)).toEqual(NOT_LOCKED);
    expect(outcome('latch', after(336.001), POLICY_2)).toEqual(LOCKED);
  });
});

describe('latch where the controller', () => {
  const POLICY_QUICK = { holdMs: 120_000, latchAfter: { trips: 2, withinMs: 3_600_000 } };
  const served = { 'call.cooling': [[0, LENGTH_S]] } as const;
  const grille = (...gas: Times): ReturnType<typeof sensor> =>
    sensor('grille', LENGTH_S, (atS) => (gas.some(([a, b]) => atS >= a && atS < b) ? { state: 'gas' } : {}), {
      kind: 'contact',
    });

  test('waits past the hold for a reading below the clearing level', () => {
    const waits = (leftS: number): ReturnType<typeof trace> =>
      trace(LENGTH_S, {
        sensors: [
          grille([60, 70], [242, 252]),
          sensor('coil-a', LENGTH_S, (atS) => {
            if (atS >= 90 && atS < 120) return { counter: 90 };
            return atS >= 180 && atS < 245 ? { gasPercentLfl: 18.1 } : {};
          }),
        ],
        outputs: {
          ...mitigating([
            [60, leftS],
            [243, LENGTH_S],
          ]),
          'compressor.a': [[1500, 1600]],
        },
        inputs: served,
      });
    expect(outcome('latch', waits(243), POLICY_QUICK)).toEqual(['not exercised', null]);
    expect(outcome('latch', waits(241), POLICY_QUICK)).toEqual(['broken', -100]);
  });

  // Past a cut it is power-cut that says whether the rig was locked when the compressor ran, or heat.
  test('begins its hold anew after a cut that gas outlasted', () => {
    const anew = (leftS: number): ReturnType<typeof trace> =>
      trace(LENGTH_S, {
        sensors: [grille([4, 188], [312, 372])],
        outputs: {
          ...mitigating([
            [4, 60],
            [182, leftS],
            [313, LENGTH_S],
          ]),
          'compressor.a': [[1500, 1600]],
        },
        inputs: served,
        controllerPower: [
          [0, 60],
          [180, LENGTH_S],
        ],
      });
    expect(outcome('power-cut', anew(312), POLICY_QUICK)).toEqual(['held', 0]);
    expect(outcome('power-cut', anew(311.999), POLICY_QUICK)).toEqual(['broken', -100]);
  });

  test('begins its hold anew after a cut in which the hold would have passed', () => {
    const anew = (standsFromS: number): ReturnType<typeof trace> =>
      trace(LENGTH_S, {
        sensors: [
          sensor('coil-a', LENGTH_S, during(60, 90, GAS)),
          sensor('coil-b', LENGTH_S, during(300, 330, GAS)),
        ],
        outputs: {
          ...mitigating([
            [60, 120],
            [standsFromS, LENGTH_S],
          ]),
          heat: [[1500, 1600]],
        },
        inputs: { 'call.heating': [[0, LENGTH_S]] },
        rigPower: [
          [0, 120],
          [240, LENGTH_S],
        ],
      });
    expect(outcome('power-cut', anew(255), POLICY_QUICK)).toEqual(['not exercised', null]);
    expect(outcome('power-cut', anew(255.001), POLICY_QUICK)).toEqual(['broken', -100]);
  });

  /** What `resume` says where the rig serves no call after gas at 10:00, the second gas or the first. */
  const locksItself = (says: Says, downS: number): string =>
    outcome(
      'resume',
      judgedWith([], {
        says: (atS) => (atS < 300 ? says(atS) : gasAt(600)(atS)),
        outputs: { ...mitigating([[130, LENGTH_S]]), 'compressor.a': [[50, 99]] },
        inputs: { 'call.cooling': [[0, LENGTH_S]], airflow: [[0, LENGTH_S]] },
        controllerPower: [
          [0, downS],
          [125, LENGTH_S],
        ],
      }),
      POLICY_2,
    )[0];

  test('may have put on record what it was told when its power went, answered or not', () => {
    expect(locksItself(gasAt(100), 100)).toBe('held');
    expect(locksItself(gasAt(100), 110)).toBe('held');
    expect(locksItself(gasAt(100), 99.999)).toBe('broken');
  });

  test('may not count gas that went before, or a sensor that fell silent', () => {
    expect(locksItself(during(105, 109, GAS), 110)).toBe('broken');
    expect(locksItself(during(100, 115, null), 110)).toBe('broken');
  });

  test('need not take a silence that its power cut short for a part of the episode before', () => {
    // Left too early, and silent then: by the gas alone the hold has passed at 5:29.
    const judged = judgedWith([], {
      says: (atS) => (atS >= 205 && atS < 215 ? null : gasAt(10, 400)(atS)),
      outputs: {
        ...mitigating([
          [10, 200],
          [240, LENGTH_S],
        ]),
        'compressor.a': [[200, 204]],
      },
      inputs: { 'call.cooling': [[0, LENGTH_S]], airflow: [[0, LENGTH_S]] },
      controllerPower: [
        [0, 215],
        [240, LENGTH_S],
      ],
    });
    expect(outcome('resume', judged, POLICY_2)[0]).toBe('held');
  });
});
