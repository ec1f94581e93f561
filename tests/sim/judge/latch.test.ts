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
  verdict,
} from './trace-builder.ts';

const LENGTH_S = 2000;
const POLICY_2 = { latchAfter: { trips: 2, withinMs: 600_000 } };
/** Gas for 20 s from each of these seconds on. */
const gasAt =
  (...startsS: readonly number[]): Says =>
  (atS) =>
    startsS.some((startS) => atS >= startS && atS < startS + 20) ? GAS : {};
/** Mitigation left after the hold of the first: only then is the next gas another trip. */
const SERVED = [400, 500] as const;
const judgedWith = (compressor: Times, more: Sketch & { says?: Says } = {}): ReturnType<typeof trace> =>
  trace(LENGTH_S, {
    sensors: [sensor('coil-a', LENGTH_S, more.says ?? gasAt(10, 600))],
    outputs: { ...mitigating([[0, LENGTH_S]]), 'compressor.a': compressor },
    inputs: { 'call.cooling': [[0, LENGTH_S]] },
    ...more,
  });

describe('latch', () => {
  test('is held where nothing runs after the last trip, and broken by a millisecond of running', () => {
    expect(outcome('latch', judgedWith([SERVED]), POLICY_2)).toEqual(['held', 0]);
    expect(verdict('latch', judgedWith([SERVED, [1500, 1500.001]]), POLICY_2)).toMatchObject({
      result: 'broken',
      marginS: -0.001,
      atMs: 1_500_000,
      because: [
        'The last of the gas episodes that locked the rig began at 0:10:00, the first at 0:00:10; no service reset had unlocked it before 0:33:20.',
        'A compressor or heat was on from 0:25:00, for 0.001 s in all.',
      ],
    });
  });

  test('counts onsets within the time, to the millisecond', () => {
    const at = (lastS: number): Says => gasAt(10, lastS);
    expect(outcome('latch', judgedWith([SERVED], { says: at(610) }), POLICY_2)).toEqual(['held', 0]);
    expect(outcome('latch', judgedWith([SERVED], { says: at(611) }), POLICY_2)).toEqual([
      'not exercised',
      null,
    ]);
  });

  test('counts gas within one hold once', () => {
    expect(outcome('latch', judgedWith([], { says: gasAt(10, 200) }), POLICY_2)[0]).toBe('not exercised');
  });

  test('counts gas and contradiction only', () => {
    const silent: Says = (atS) => ((atS >= 10 && atS < 40) || (atS >= 600 && atS < 640) ? null : {});
    expect(outcome('latch', judgedWith([SERVED], { says: silent }), POLICY_2)[0]).toBe('not exercised');
  });

  test('ends with a press at which no reason holds', () => {
    const pressed = (pressS: number): Sketch => ({
      inputs: { 'call.cooling': [[0, LENGTH_S]], serviceReset: [[pressS, pressS + 2]] },
    });
    expect(outcome('latch', judgedWith([SERVED, [1500, 1600]], pressed(1500)), POLICY_2)).toEqual([
      'held',
      0,
    ]);
    expect(outcome('latch', judgedWith([SERVED, [1500, 1600]], pressed(1501)), POLICY_2)).toEqual([
      'broken',
      -1,
    ]);
    expect(outcome('latch', judgedWith([SERVED, [1500, 1600]], pressed(610)), POLICY_2)[0]).toBe('broken');
  });

  test('does not end with a button that is held', () => {
    const inputs = { 'call.cooling': [[0, LENGTH_S]], serviceReset: [[0, LENGTH_S]] } as const;
    expect(outcome('latch', judgedWith([SERVED, [1500, 1600]], { inputs }), POLICY_2)).toEqual([
      'broken',
      -100,
    ]);
  });

  test('lets a press during a fire unlock, and lets a controller ignore it', () => {
    const inputs = {
      'call.cooling': [[0, LENGTH_S]],
      airflow: [[0, LENGTH_S]],
      fire: [[1000, 1020]],
      serviceReset: [[1010, 1012]],
    } as const;
    expect(outcome('latch', judgedWith([SERVED, [1500, 1600]], { inputs }), POLICY_2)).toEqual(['held', 0]);
    // Served at 0:05:30 for the last time: nothing more is asked of one that stays locked.
    expect(outcome('resume', judgedWith([[330, 600]], { inputs }), POLICY_2)[0]).toBe('held');
  });

  test('forgets with a reset the onsets before it', () => {
    const inputs = { 'call.cooling': [[0, LENGTH_S]], serviceReset: [[1000, 1001]] } as const;
    const says = gasAt(10, 600, 1100);
    const served = [SERVED, [1010, 1090], [1500, 1600]] as const;
    expect(outcome('latch', judgedWith(served, { says, inputs }), POLICY_2)).toEqual(['held', 0]);
  });

  test('counts a late response from its stop: the lateness is respond’s', () => {
    const outputs = { ...mitigating([[0, LENGTH_S]]), 'compressor.a': [[590, 630]] } as const;
    const judged = judgedWith([], {
      outputs,
      says: (atS) => ((atS >= 10 && atS < 30) || (atS >= 600 && atS < 640) ? GAS : {}),
    });
    expect(outcome('latch', judged, POLICY_2)).toEqual(['held', 0]);
    expect(outcome('respond', judged)).toEqual(['broken', -15]);
  });

  test('is not exercised where no call stands after the hold', () => {
    const inputs = { 'call.cooling': [[0, 919]] } as const;
    expect(outcome('latch', judgedWith([SERVED], { inputs }), POLICY_2)).toEqual(['not exercised', null]);
    const longer = { 'call.cooling': [[0, 921]] } as const;
    expect(outcome('latch', judgedWith([SERVED], { inputs: longer }), POLICY_2)).toEqual(['held', 0]);
  });

  test('is not applicable where it is off', () => {
    expect(outcome('latch', judgedWith([]))).toEqual(['not applicable', null]);
  });
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
});
