import { describe, expect, test } from 'vitest';
import {
  during,
  GAS,
  mitigating,
  outcome,
  type Says,
  sensor,
  type Times,
  trace,
  verdict,
} from './trace-builder.ts';

const LENGTH_S = 900;
const judgedAt = (says: Says, times: Times, lengthS = LENGTH_S): ReturnType<typeof trace> =>
  trace(lengthS, { sensors: [sensor('coil-a', lengthS, says)], outputs: mitigating(times) });
/** Its last answer at the setpoint is that of 0:01:39. */
const gas = during(10, 100, GAS);

describe('hold', () => {
  test('is held by mitigation until the hold has passed, to the millisecond', () => {
    expect(outcome('hold', judgedAt(gas, [[20, 399]]))).toEqual(['held', 0]);
    expect(verdict('hold', judgedAt(gas, [[20, 398.999]]))).toMatchObject({
      result: 'broken',
      marginS: -0.001,
      atMs: 398_999,
      sensor: 'coil-a',
      because: [
        'coil-a reported gas, 25 %LFL, at 0:00:10; the last reason ended at 0:01:39.',
        'Mitigation was left at 0:06:38.999 (fan not commanded on, dampers not commanded open), 299.999 s later.',
        'The limit is 5 min (hold of the rig): missed by 1 ms.',
      ],
    });
  });

  test('has to spare what mitigation stood longer, to its leaving or the end of the drill', () => {
    expect(outcome('hold', judgedAt(gas, [[20, 450]]))).toEqual(['held', 51]);
    expect(outcome('hold', judgedAt(gas, [[20, 900]]))).toEqual(['held', 501]);
  });

  test('is not exercised where the drill ends before, and is where it ends with the hold', () => {
    expect(outcome('hold', judgedAt(gas, [[20, 900]], 398))).toEqual(['not exercised', null]);
    expect(outcome('hold', judgedAt(gas, [[20, 900]], 399))).toEqual(['held', 0]);
  });

  test('is broken by a leaving between two reasons of one episode', () => {
    const twice: Says = (atS) => ((atS >= 10 && atS < 30) || (atS >= 250 && atS < 260) ? GAS : {});
    expect(
      outcome(
        'hold',
        judgedAt(twice, [
          [20, 229],
          [255, 900],
        ]),
      ),
    ).toEqual(['broken', -100]);
  });

  test('counts from the last of all reasons, whichever sensor gave it', () => {
    const sensors = [sensor('coil-a', LENGTH_S, gas), sensor('coil-b', LENGTH_S, during(60, 200, null))];
    const judged = trace(LENGTH_S, { sensors, outputs: mitigating([[20, 450]]) });
    expect(verdict('hold', judged)).toMatchObject({ result: 'broken', marginS: -50, sensor: 'coil-b' });
  });

  test('demands nothing after a reason that went before respondWithin and that nothing answered', () => {
    const short = during(10, 20, GAS);
    expect(outcome('hold', judgedAt(short, [[100, 110]]))).toEqual(['not exercised', null]);
    expect(outcome('hold', judgedAt(short, [[25, 110]]))).toEqual(['broken', -(319 - 110)]);
    expect(outcome('hold', judgedAt(short, [[25.001, 110]]))).toEqual(['not exercised', null]);
  });

  test('is not exercised where mitigation was left for good before the reason ended', () => {
    expect(outcome('hold', judgedAt(gas, [[20, 50]]))).toEqual(['not exercised', null]);
  });

  test('is not exercised by a mitigation that comes back just as the hold has passed', () => {
    expect(
      outcome(
        'hold',
        judgedAt(gas, [
          [20, 50],
          [399, 900],
        ]),
      ),
    ).toEqual(['not exercised', null]);
  });

  test('decides nothing where a fire, or the power, took the mitigation away', () => {
    const sensors = [sensor('coil-a', LENGTH_S, gas)];
    const outputs = mitigating([[20, 200]]);
    const times: Times = [[200, 900]];
    expect(outcome('hold', trace(LENGTH_S, { sensors, outputs }))).toEqual(['broken', -199]);
    for (const taken of [{ inputs: { fire: times } }, { controllerPower: [[0, 200]] as Times }])
      expect(outcome('hold', trace(LENGTH_S, { sensors, outputs, ...taken }))).toEqual([
        'not exercised',
        null,
      ]);
  });

  test('leaves to others what a cut inside the hold, or a fire at its end, makes undecidable', () => {
    const sensors = [sensor('coil-a', LENGTH_S, gas)];
    const cut: Times = [
      [0, 200],
      [210, 900],
    ];
    for (const taken of [{ inputs: { fire: [[350, 450]] as Times } }, { controllerPower: cut }]) {
      const judged = trace(LENGTH_S, { sensors, outputs: mitigating([[20, 900]]), ...taken });
      expect(outcome('hold', judged)).toEqual(['not exercised', null]);
    }
  });

  test('begins a new episode with a reason at the moment at which the hold has passed', () => {
    const twice: Says = (atS) => ((atS >= 10 && atS < 30) || (atS >= 329 && atS < 350) ? GAS : {});
    // The second reason begins at 29 s + 5 min: the first hold is over, and was kept.
    expect(
      outcome(
        'hold',
        judgedAt(twice, [
          [20, 329],
          [340, 900],
        ]),
      ),
    ).toEqual(['held', 0]);
  });
});
