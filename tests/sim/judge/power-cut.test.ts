import { describe, expect, test } from 'vitest';
import type { RuleId } from '../../../sim/judge/index.ts';
import {
  during,
  GAS,
  mitigating,
  outcome,
  type Sketch,
  sensor,
  type Times,
  trace,
  verdict,
} from './trace-builder.ts';

const LENGTH_S = 900;
/** Gas from 0:00:10 to 0:01:40, laxly to 0:01:39; the controller is off from 0:02:00 to 0:02:10. */
const CUT: Times = [
  [0, 120],
  [130, 900],
];
const sensors = [sensor('coil-a', LENGTH_S, during(10, 100, GAS))];
const judgedWith = (times: Times, more: Sketch = {}): ReturnType<typeof trace> =>
  trace(LENGTH_S, { sensors, outputs: mitigating(times), controllerPower: CUT, ...more });

describe('power-cut', () => {
  test('lets respondWithin pass after the power-up, then wants mitigation until the hold has passed', () => {
    expect(
      outcome(
        'power-cut',
        judgedWith([
          [20, 120],
          [145, 399],
        ]),
      ),
    ).toEqual(['held', 0]);
    expect(
      outcome(
        'power-cut',
        judgedWith([
          [20, 120],
          [145.001, 399],
        ]),
      ),
    ).toEqual(['broken', -0.001]);
    expect(
      verdict(
        'power-cut',
        judgedWith([
          [20, 120],
          [145, 398.999],
        ]),
      ),
    ).toMatchObject({
      result: 'broken',
      marginS: -0.001,
      atMs: 398_999,
      sensor: 'coil-a',
      because: [
        'coil-a reported gas, 25 %LFL, at 0:00:10; the controller lost its power at 0:02:00, in mitigation.',
        'The last reason ended at 0:01:39, the hold at 0:06:39.',
        'Power was back at 0:02:10; what follows is counted from 0:02:25 on, ' +
          'no sooner than respondWithin (15 s) later.',
        'Mitigation was missing from 0:06:38.999 on (fan not commanded on, dampers not commanded open), ' +
          'for 1 ms before 0:06:39.',
      ],
    });
  });

  test('judges in place of stay-off, recheck and hold from the cut on', () => {
    const lost = judgedWith([[20, 120]]);
    const others: readonly RuleId[] = ['stay-off', 'recheck', 'hold'];
    expect(outcome('power-cut', lost)).toEqual(['broken', -(399 - 145)]);
    expect(others.map((rule) => outcome(rule, lost)[0])).toEqual(['held', 'not exercised', 'not exercised']);
  });

  test('ends a reason that was open at the cut no earlier than the power-up', () => {
    const open = [sensor('coil-a', LENGTH_S, during(10, 125, GAS))];
    expect(
      outcome(
        'power-cut',
        judgedWith(
          [
            [20, 120],
            [140, 430],
          ],
          { sensors: open },
        ),
      ),
    ).toEqual(['held', 0]);
    expect(
      outcome(
        'power-cut',
        judgedWith(
          [
            [20, 120],
            [140, 429],
          ],
          { sensors: open },
        ),
      ),
    ).toEqual(['broken', -1]);
  });

  test('counts a cut of the whole rig too', () => {
    const judged = judgedWith([[20, 120]], { controllerPower: [[0, 900]], rigPower: CUT });
    expect(outcome('power-cut', judged)[0]).toBe('broken');
  });

  test('is not exercised without a cut, outside an episode, or before mitigation was reached', () => {
    const none: Times = [[0, 900]];
    expect(outcome('power-cut', judgedWith([[20, 900]], { controllerPower: none }))).toEqual([
      'not exercised',
      null,
    ]);
    const later: Times = [
      [0, 399],
      [410, 900],
    ];
    expect(outcome('power-cut', judgedWith([[20, 900]], { controllerPower: later }))[0]).toBe(
      'not exercised',
    );
    expect(outcome('power-cut', judgedWith([[200, 400]]))[0]).toBe('not exercised');
  });

  test('is not exercised where the drill ends with respondWithin after the power-up', () => {
    const short = { sensors, outputs: mitigating([[20, 120]]), controllerPower: CUT };
    expect(outcome('power-cut', trace(145, short))).toEqual(['not exercised', null]);
    expect(outcome('power-cut', trace(145.001, short))).toEqual(['broken', -0.001]);
  });

  test('leaves what begins after the power-up to the rules of its own', () => {
    const late = [sensor('coil-a', LENGTH_S, during(500, 520, GAS))];
    const judged = judgedWith([[510, 600]], { sensors: late });
    expect(outcome('power-cut', judged)[0]).toBe('not exercised');
    expect(outcome('hold', judged)).toEqual(['broken', -(819 - 600)]);
  });

  test('wants a lock-out to survive', () => {
    const latchAfter = { trips: 1, withinMs: 3_600_000 };
    const inputs = { 'call.cooling': [[0, 900]] } as const;
    const cut = {
      controllerPower: [
        [0, 500],
        [510, 900],
      ],
    } as const;
    const locked = judgedWith([[20, 900]], { ...cut, inputs });
    expect(outcome('power-cut', locked, { latchAfter })).toEqual(['held', 0]);
    const outputs = { ...mitigating([[20, 600]]), 'compressor.a': [[600, 660]] } as const;
    const lost = judgedWith([], { ...cut, inputs, outputs });
    expect(outcome('power-cut', lost, { latchAfter })).toEqual(['broken', -60]);
    expect(verdict('power-cut', lost, { latchAfter }).because[2]).toBe(
      'The lock-out was missing from 0:10:00 on (compressor a commanded on), for 1 min before 0:15:00.',
    );
    expect(verdict('power-cut', lost, { latchAfter }).because[0]).toBe(
      'A lock-out began at 0:00:10, its first trip at 0:00:10; the controller lost its power at 0:08:20.',
    );
    expect(outcome('latch', lost, { latchAfter })).toEqual(['held', 0]);
  });

  test('wants trips to be counted across it', () => {
    const twice = [
      sensor('coil-a', LENGTH_S, (atS) => ((atS > 10 && atS < 30) || (atS > 500 && atS < 520) ? GAS : {})),
    ];
    const latchAfter = { trips: 2, withinMs: 3_600_000 };
    const outputs = {
      ...mitigating([
        [20, 400],
        [502, 830],
      ]),
      'compressor.a': [
        [470, 490],
        [850, 860],
      ],
    } as const;
    const judged = trace(LENGTH_S, {
      sensors: twice,
      outputs,
      controllerPower: [
        [0, 430],
        [440, 900],
      ],
    });
    expect(outcome('power-cut', judged, { latchAfter })).toEqual(['broken', -10]);
    expect(outcome('latch', judged, { latchAfter })[0]).toBe('not exercised');
  });

  test('asks nothing of a lock-out between the cut and the trip that locks', () => {
    const inputs = { 'call.cooling': [[0, 900]], fire: [[490, 491]] } as const;
    const judged = trace(LENGTH_S, {
      sensors: [
        sensor('coil-a', LENGTH_S, (atS) => ((atS > 10 && atS < 30) || (atS > 500 && atS < 520) ? GAS : {})),
      ],
      outputs: {
        ...mitigating([
          [20, 400],
          [502, 900],
        ]),
        'compressor.a': [[470, 490]],
      },
      inputs,
      controllerPower: [
        [0, 430],
        [440, 900],
      ],
    });
    expect(outcome('power-cut', judged, { latchAfter: { trips: 2, withinMs: 3_600_000 } })).toEqual([
      'held',
      0,
    ]);
  });
});
