import { describe, expect, test } from 'vitest';
import {
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
        'A compressor or heat was on from 0:25:00, for 1 ms in all.',
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
