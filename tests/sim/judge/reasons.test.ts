/** What one sensor told: reasons of every kind with both ends, and when it was well. */
import { describe, expect, test } from 'vitest';
import type { Answer, SensorTrace } from '../../../sim/judge/index.ts';
import type { Reason } from '../../../sim/judge/reason.ts';
import { type Told, toldBy } from '../../../sim/judge/reasons.ts';
import { during, GAS, ms, POLICY, type Says, sensor, WARMING } from './trace-builder.ts';

const LENGTH_S = 60;
const ANSWER: Answer = {
  atMs: 0,
  state: 'measuring',
  gasBit: false,
  selfTestPassed: true,
  gasPercentLfl: 0,
  counter: undefined,
  serial: undefined,
};

function told(says: Says, sketch: Parameters<typeof sensor>[3] = {}, lives = [[0, LENGTH_S]]): Told {
  const spans = lives.map(([fromS = 0, toS = 0]) => ({ fromMs: ms(fromS), toMs: ms(toS) }));
  return toldBy(sensor('coil-a', LENGTH_S, says, sketch), spans, POLICY);
}

/** Kind, onset, lax end and strict end, in seconds. */
const brief = (reasons: readonly Reason[]): unknown[] =>
  reasons.map(({ kind, fromMs, laxUntilMs, untilMs }) => [
    kind,
    fromMs / 1000,
    laxUntilMs / 1000,
    untilMs / 1000,
  ]);
const reasonsOf = (...given: Parameters<typeof told>): unknown[] => brief(told(...given).reasons);

describe('gas', () => {
  test('lasts from the first answer that says so to the first below clearBelow; laxly to the last that said so', () => {
    expect(reasonsOf(during(10, 20, GAS))).toEqual([['gas', 10, 19, 20]]);
  });

  test('is gas by state alone, or by bit alone, whatever the number says', () => {
    expect(reasonsOf(during(10, 20, { state: 'gas', gasPercentLfl: 1 }))).toEqual([['gas', 10, 19, 20]]);
    expect(reasonsOf(during(10, 20, { gasBit: true, gasPercentLfl: 1 }))).toEqual([['gas', 10, 19, 20]]);
  });

  test('does not end strictly at 18 %LFL, which is not below clearBelow, and ends laxly there', () => {
    const says: Says = (atS) => (atS < 10 ? {} : atS < 20 ? GAS : atS < 30 ? { gasPercentLfl: 18 } : {});
    expect(reasonsOf(says)).toEqual([['gas', 10, 19, 30]]);
  });

  test('rises anew after a dip that was not below clearBelow', () => {
    const says: Says = (atS) =>
      atS < 10
        ? {}
        : atS < 20
          ? GAS
          : atS < 30
            ? { gasPercentLfl: 19.9 }
            : atS < 35
              ? { gasPercentLfl: 20 }
              : {};
    expect(reasonsOf(says).filter((one) => (one as string[])[0] === 'gas')).toEqual([
      ['gas', 10, 19, 35],
      ['gas', 30, 34, 35],
    ]);
  });

  test('does not end with a sensor that fails: that one has not said the gas is gone', () => {
    const says: Says = (atS) => (atS < 10 ? {} : atS < 20 ? GAS : { state: 'failed', gasPercentLfl: 0 });
    expect(reasonsOf(says)).toEqual([
      ['gas', 10, 19, 60],
      ['failed', 20, 60, 60],
    ]);
  });

  test('stands to the end of the drill while the last answer says so, though none comes any more', () => {
    const says: Says = (atS) => (atS < 10 ? {} : atS < 20 ? GAS : undefined);
    expect(reasonsOf(says)).toEqual([['gas', 10, 60, 60]]);
  });

  test('of a contact ends with the first answer that says clear', () => {
    expect(reasonsOf(during(10, 20, { state: 'gas' }), { kind: 'contact' })).toEqual([['gas', 10, 19, 20]]);
  });

  test('does not end with a sensor that gives no number: that is none below clearBelow', () => {
    const says: Says = (atS) => (atS < 10 ? {} : atS < 20 ? GAS : atS < 30 ? { gasPercentLfl: null } : {});
    expect(reasonsOf(says)).toEqual([
      ['invalid', 20, 30, 30],
      ['gas', 10, 19, 30],
    ]);
  });

  test('keeps the last number through answers that show none', () => {
    const says: Says = (atS) =>
      atS < 10 ? {} : atS < 20 ? GAS : atS < 30 ? { gasPercentLfl: undefined } : { gasPercentLfl: 2 };
    expect(reasonsOf(says)).toEqual([['gas', 10, 29, 30]]);
  });
});

describe('contradiction', () => {
  test('is a number at the setpoint while state and bit say clear, and ends below clearBelow', () => {
    const says: Says = (atS) =>
      atS < 10
        ? {}
        : atS < 20
          ? { gasPercentLfl: 20 }
          : atS < 30
            ? { gasPercentLfl: 18 }
            : { gasPercentLfl: 17.9 };
    expect(reasonsOf(says)).toEqual([['contradiction', 10, 19, 30]]);
  });

  test('is none just below the setpoint', () => {
    expect(reasonsOf(during(10, 20, { gasPercentLfl: 19.9 }))).toEqual([]);
  });

  test('rises anew after a dip that was not below clearBelow', () => {
    const says: Says = (atS) => ({ gasPercentLfl: atS < 10 ? 0 : atS >= 20 && atS < 30 ? 19 : 20 });
    expect(reasonsOf(says)).toEqual([
      ['contradiction', 10, 19, 60],
      ['contradiction', 30, 60, 60],
    ]);
  });

  test('goes on while the number stays, though state or bit has come round to it', () => {
    const says: Says = (atS) =>
      atS < 10 ? {} : atS < 20 ? { gasPercentLfl: 25 } : atS < 30 ? { ...GAS, gasPercentLfl: 25 } : {};
    expect(reasonsOf(says)).toEqual([
      ['gas', 20, 29, 30],
      ['contradiction', 10, 29, 30],
    ]);
  });

  test.each([
    [{ state: 'gas', gasPercentLfl: 25 }, 'gas'],
    [{ state: 'failed', gasPercentLfl: 25 }, 'failed'],
  ] as const)('is none where the state does not say clear: %j', (said, kind) => {
    expect(told(during(10, 20, said)).reasons.map((reason) => reason.kind)).toEqual([kind]);
  });
});

describe('frozen', () => {
  test('counts from the last move of the counter, once a good answer at silentAfter says so', () => {
    expect(reasonsOf((atS) => ({ counter: Math.min(atS, 20) }))).toEqual([['frozen', 25, 60, 60]]);
    expect(reasonsOf((atS) => ({ counter: atS < 20 || atS >= 25 ? atS : 20 }))).toEqual([]);
    expect(reasonsOf((atS) => ({ counter: atS < 20 || atS >= 26 ? atS : 20 }))).toEqual([
      ['frozen', 25, 26, 26],
    ]);
  });

  test('is not told by a sensor that does not answer meanwhile', () => {
    const says: Says = (atS) => (atS < 20 ? {} : atS < 40 ? null : { counter: atS - 21 });
    expect(reasonsOf(says)).toEqual([['silent', 25, 40, 40]]);
  });

  test('is told by a sensor that is asked as seldom as askWithin allows', () => {
    const askedAtS = [0, 10, 20, 30, 40, 50];
    expect(reasonsOf((atS) => ({ counter: Math.min(atS, 20) }), { askedAtS })).toEqual([
      ['frozen', 25, 60, 60],
    ]);
  });

  test('ends with a sensor that fails', () => {
    const says: Says = (atS) => (atS < 40 ? { counter: 1 } : { state: 'failed', counter: 1 });
    expect(reasonsOf(says)).toEqual([
      ['frozen', 5, 40, 40],
      ['failed', 40, 60, 60],
    ]);
  });
});

describe('silent', () => {
  test('begins silentAfter after the first request without an answer, and ends with a good one', () => {
    expect(reasonsOf(during(10, 20, null))).toEqual([['silent', 15, 20, 20]]);
  });

  test('is none when the answer comes at silentAfter to the millisecond, one when it comes later', () => {
    const askedAtS = [0, 10, 15];
    const late = [0, 10, 15.001];
    const says: Says = (atS) => (atS === 10 ? null : {});
    expect(reasonsOf(says, { askedAtS })).toEqual([]);
    expect(reasonsOf(says, { askedAtS: late })).toEqual([['silent', 15, 15.001, 15.001]]);
  });

  test('is not for nobody asking', () => {
    expect(reasonsOf((atS) => (atS >= 10 && atS < 40 ? undefined : {}))).toEqual([]);
  });

  test('counts warming up as an answer until the sensor has been good once', () => {
    expect(reasonsOf((atS) => (atS < 40 ? WARMING : {}))).toEqual([]);
  });

  test('counts warming up as no good answer once it has been good', () => {
    expect(reasonsOf(during(10, 40, WARMING))).toEqual([['silent', 15, 40, 40]]);
  });

  test('goes on until the self-test has passed', () => {
    const says: Says = (atS) => (atS < 10 ? {} : atS < 20 ? null : atS < 30 ? { selfTestPassed: false } : {});
    expect(reasonsOf(says)).toEqual([['silent', 15, 30, 30]]);
  });

  test('holds for a contact whose input is not answered', () => {
    expect(reasonsOf(during(10, 20, null), { kind: 'contact' })).toEqual([['silent', 15, 20, 20]]);
  });
});

describe('failed, invalid, stranger', () => {
  test('last from the good answer that says so to the one that no longer does', () => {
    expect(reasonsOf(during(10, 20, { state: 'failed' }))).toEqual([['failed', 10, 20, 20]]);
    expect(reasonsOf(during(10, 20, { gasPercentLfl: null }))).toEqual([['invalid', 10, 20, 20]]);
  });

  test('a stranger is a serial that is known, planned and another', () => {
    const says: Says = (atS) => ({ serial: atS < 10 ? '240811' : atS < 20 ? '240812' : '240811' });
    expect(reasonsOf(says, { serial: '240811' })).toEqual([['stranger', 10, 20, 20]]);
    expect(reasonsOf(says)).toEqual([]);
    expect(reasonsOf(() => ({ serial: undefined }), { serial: '240811' })).toEqual([]);
  });

  test('a stranger stays one through answers that show no serial', () => {
    const says: Says = (atS) => ({ serial: atS < 10 ? 'mine' : atS < 20 ? 'other' : undefined });
    expect(reasonsOf(says, { serial: 'mine' })).toEqual([['stranger', 10, 60, 60]]);
  });

  test('warming up shows no number without being invalid', () => {
    expect(reasonsOf((atS) => (atS < 3 ? WARMING : {}))).toEqual([]);
  });
});

describe('a power-up of the controller', () => {
  test('begins every fold anew', () => {
    const says: Says = (atS) => (atS < 10 ? GAS : null);
    expect(
      reasonsOf(says, {}, [
        [0, 20],
        [30, 60],
      ]),
    ).toEqual([
      ['gas', 0, 20, 20],
      ['silent', 15, 20, 20],
      ['silent', 35, 60, 60],
    ]);
  });

  test('knows nothing of what was asked before it', () => {
    const says: Says = (atS) => (atS < 20 ? GAS : {});
    expect(reasonsOf(says, {}, [[20, 60]])).toEqual([]);
  });
});

describe('well', () => {
  test('is a good answer below clearBelow with its self-test passed, and no reason', () => {
    const says: Says = (atS) =>
      atS < 5
        ? WARMING
        : atS < 10
          ? { selfTestPassed: false }
          : atS < 30
            ? {}
            : atS < 40
              ? { gasPercentLfl: 18 }
              : {};
    expect(told(says).well).toEqual([
      { fromMs: 10_000, toMs: 30_000 },
      { fromMs: 40_000, toMs: 60_000 },
    ]);
  });

  test('ends with the first request of a silence, known only later', () => {
    expect(told(during(10, 20, null)).well).toEqual([
      { fromMs: 0, toMs: 10_000 },
      { fromMs: 20_000, toMs: 60_000 },
    ]);
  });
});

describe('a silence of exactly silentAfter', () => {
  test('is no reason, and yet it was not well: who counts it as one may hold', () => {
    const { reasons, well } = told(during(10, 15, null));
    expect(reasons).toEqual([]);
    expect(well).toEqual([
      { fromMs: 0, toMs: 10_000 },
      { fromMs: 15_000, toMs: 60_000 },
    ]);
  });

  test('is more than a request or two that are lost', () => {
    expect(told(during(10, 14, null)).well).toEqual([{ fromMs: 0, toMs: 60_000 }]);
  });
});

describe('signs of a reason to come', () => {
  test('are told in order, though an answer came after the next request', () => {
    const late: SensorTrace = {
      ...sensor('coil-a', 0, () => ({})),
      requests: [
        { atMs: 10_000, answer: { ...ANSWER, atMs: 13_000, selfTestPassed: false } },
        { atMs: 12_000, answer: null },
      ],
    };
    expect(toldBy(late, [{ fromMs: 0, toMs: 60_000 }], POLICY).signs).toEqual([12_000, 13_000]);
  });

  test('are a self-test that has not passed, and warming up, whatever else is said', () => {
    const says: Says = (atS) =>
      atS === 10 ? { state: 'warming-up' } : atS === 20 ? { selfTestPassed: false } : {};
    expect(told(says).signs).toEqual([10_000, 20_000]);
  });

  test('are none of an answer still under way when the controller lost its power', () => {
    const late: SensorTrace = {
      ...sensor('coil-a', 0, () => ({})),
      requests: [{ atMs: 10_000, answer: { ...ANSWER, state: 'gas', atMs: 20_000 } }],
    };
    const lives = [{ fromMs: 0, toMs: 20_000 }];
    expect(toldBy(late, lives, POLICY)).toEqual({ reasons: [], well: [], signs: [], whiffs: [] });
  });
});

describe('what a sensor said', () => {
  test.each([
    [during(10, 20, GAS), 'coil-a reported gas, 25 %LFL, at 0:00:10'],
    [during(10, 20, null), 'coil-a had not answered since it was asked at 0:00:10'],
    [
      during(10, 20, WARMING),
      'coil-a had given no good answer since it was asked at 0:00:10; ' +
        'it answered from 0:00:10 on, warming up until 0:00:20, which is no reading yet',
    ],
    [
      (atS: number) => (atS < 10 ? {} : atS < 18 ? null : WARMING),
      'coil-a had not answered since it was asked at 0:00:10; ' +
        'it answered from 0:00:18 on, warming up, which is no reading yet',
    ],
    [
      (atS: number) =>
        atS < 10 || atS > 24 ? {} : atS < 18 ? null : atS < 20 ? WARMING : { selfTestPassed: false },
      'coil-a had not answered since it was asked at 0:00:10; ' +
        'it answered from 0:00:18 on, warming up until 0:00:20, which is no reading yet',
    ],
    [during(10, 20, { state: 'failed' }), 'coil-a reported that it had failed at 0:00:10'],
    [during(10, 20, { gasPercentLfl: null }), 'coil-a gave no valid number at 0:00:10'],
    [
      during(10, 20, { gasPercentLfl: 30 }),
      'coil-a gave a number at or above the setpoint, 30 %LFL, and said clear at 0:00:10',
    ],
    [during(10, 20, { serial: 'x' }), 'coil-a showed serial x at 0:00:10, planned is 240811'],
    [during(10, 20, { counter: 3 }), 'coil-a showed counter 3 since 0:00:10'],
  ] as const)('%# reads as a sentence', (says, sentence) => {
    expect(told(says, { serial: '240811' }).reasons[0]?.said).toBe(sentence);
  });

  test.each([null, undefined])('of gas names no number where it gave none: %s', (gasPercentLfl) => {
    const says: Says = (atS) => ({ state: atS < 10 ? 'measuring' : 'gas', gasPercentLfl });
    const gas = told(says).reasons.find(({ kind }) => kind === 'gas');
    expect(gas?.said).toBe('coil-a reported gas at 0:00:10');
  });

  test('of gas that still stood says nothing of the warming up that came after it', () => {
    const { reasons } = told((atS) => (atS < 10 ? {} : atS < 20 ? GAS : WARMING));
    expect(reasons.map(({ kind, said }) => [kind, said])).toEqual([
      ['gas', 'coil-a reported gas, 25 %LFL, at 0:00:10'],
      ['silent', expect.stringMatching(/warming up, which is no reading yet$/u)],
    ]);
  });

  test('of a silence tells nothing of the one before it', () => {
    const twice: SensorTrace = {
      ...sensor('coil-a', 0, () => ({})),
      requests: Array.from({ length: 30 }, (_, atS) => {
        const answer = atS === 10 ? { ...ANSWER, atMs: 10_000 } : null;
        return { atMs: atS * 1000, answer, ...(atS < 10 ? { stateless: true } : {}) };
      }),
    };
    const { reasons } = toldBy(twice, [{ fromMs: 0, toMs: 30_000 }], POLICY);
    expect(reasons.map(({ said }) => said)).toEqual([
      expect.stringMatching(/^coil-a had answered since it was asked at 0:00:00, but never with its state/u),
      'coil-a had not answered since it was asked at 0:00:11',
    ]);
  });

  test('and was never asked for is no silence of its own', () => {
    const blind = (stateless: readonly number[]): SensorTrace => ({
      ...sensor('coil-a', 0, () => ({})),
      requests: [0, 1, 2, 3, 4, 5, 6].map((atS) => ({
        atMs: atS * 1000,
        answer: null,
        ...(stateless.includes(atS) ? { stateless: true } : {}),
      })),
    });
    const said = (one: SensorTrace) => toldBy(one, [{ fromMs: 0, toMs: 9000 }], POLICY).reasons[0]?.said;
    const sentence =
      'coil-a had answered since it was asked at 0:00:00, but never with its state: ' +
      'no read that it answered asked for that';
    expect(said(blind([0, 1, 2, 3, 4, 5, 6]))).toBe(sentence);
    expect(said(blind([0, 2]))).toBe(sentence);
    expect(said(blind([]))).toBe('coil-a had not answered since it was asked at 0:00:00');
  });
});
