/** When an expectation has held, and what is said of it. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { conditionOver } from '../../../sim/drill/condition.ts';
import { expectationResults } from '../../../sim/drill/expect.ts';
import type { Expectation, ExpectationResult, Expression } from '../../../sim/drill/expectation.ts';
import type { Answer, Change, Request, SensorTrace, Trace } from '../../../sim/judge/trace.ts';
import { expressions } from './expression-arbitrary.ts';
import { isTrueAt, slowVerdict, type Verdict } from './slow-expectation.ts';

const S = 1000;
const MIN = 60 * S;
const FAN: Expression = { kind: 'signal', name: 'fan' };
const FIRE: Expression = { kind: 'signal', name: 'fire' };

/** A switch that is true in these stretches, false elsewhere. */
function on(...stretches: readonly (readonly [number, number])[]): Change<boolean>[] {
  const changes = stretches.flatMap(([fromMs, toMs]) => [
    { atMs: fromMs, value: true },
    { atMs: toMs, value: false },
  ]);
  return [{ atMs: 0, value: false }, ...changes];
}

function traceOf(parts: {
  readonly fan?: Change<boolean>[];
  readonly fire?: Change<boolean>[];
  readonly sensor?: Partial<SensorTrace>;
  readonly startMs?: number;
  readonly endMs?: number;
}): Trace {
  const always: Change<boolean>[] = [{ atMs: 0, value: true }];
  const sensor: SensorTrace = {
    id: 'coil-a',
    kind: 'modbus',
    serial: null,
    requests: [],
    gas: [{ atMs: 0, value: 0 }],
    sound: always,
    powered: always,
    ...parts.sensor,
  };
  return {
    startMs: parts.startMs ?? 0,
    endMs: parts.endMs ?? 10 * MIN,
    sensors: [sensor],
    outputs: new Map([['fan', parts.fan ?? on()]]),
    inputs: new Map([['fire', parts.fire ?? on()]]),
    watchdogHolds: [{ atMs: 0, value: false }],
    rigPower: always,
    controllerPower: always,
    fieldIoAnswers: always,
    fieldIoOwes: [{ atMs: 0, value: false }],
    commandsLost: [{ atMs: 0, value: false }],
    asksItself: false,
  };
}

function resultOf(expectation: Partial<Expectation>, trace: Trace): ExpectationResult {
  // biome-ignore lint/suspicious/noThenProperty: the word of the file format; nothing awaits it.
  const whole = { text: 'as written', when: FIRE, then: FAN, withinMs: 0, forMs: 0, ...expectation };
  const [result] = expectationResults([whole], trace);
  if (result === undefined) throw new Error('no result');
  return result;
}

const held = (...because: string[]): ExpectationResult => ({ text: 'as written', result: 'held', because });
const broken = (...because: string[]): ExpectationResult => ({
  text: 'as written',
  result: 'broken',
  because,
});

describe('an expectation with a condition', () => {
  const fire = on([MIN, 2 * MIN]);

  test('holds when the other comes true in time, the last moment included', () => {
    const result = resultOf({ withinMs: 45 * S }, traceOf({ fire, fan: on([MIN + 45 * S, 3 * MIN]) }));
    expect(result).toEqual(held('at 0:01:00 "fire" became true: "fan" became true 45 s later'));
  });

  test('is broken a millisecond later, and says how late to the millisecond', () => {
    const result = resultOf({ withinMs: 45 * S }, traceOf({ fire, fan: on([MIN + 45 * S + 1, 3 * MIN]) }));
    expect(result).toEqual(
      broken('at 0:01:00 "fire" became true: "fan" was not true within 45 s, but 45.001 s later'),
    );
  });

  test('is broken by what ended at the moment it was wanted', () => {
    const result = resultOf({}, traceOf({ fire, fan: on([0, MIN]) }));
    expect(result).toEqual(broken('at 0:01:00 "fire" became true: "fan" was not true then, nor later'));
  });

  test('holds when the other lasts exactly as long as it must', () => {
    const result = resultOf({ forMs: 5 * MIN }, traceOf({ fire, fan: on([0, 6 * MIN]) }));
    expect(result).toEqual(held('at 0:01:00 "fire" became true: "fan" was true and stayed so for 5 min'));
  });

  test('is broken when it ends a millisecond early, and tells the longest stretch that began in time', () => {
    const fan = on([MIN, MIN + S], [MIN + 2 * S, 6 * MIN + 2 * S - 1], [7 * MIN, 9 * MIN]);
    const result = resultOf({ withinMs: 45 * S, forMs: 5 * MIN }, traceOf({ fire, fan }));
    expect(result).toEqual(
      broken(
        'at 0:01:00 "fire" became true: "fan" was true from 0:01:02 to 0:06:01, 299.999 s, and not for 5 min',
      ),
    );
  });

  test('forgives a first try that broke off, if a later one in time lasts', () => {
    const fan = on([MIN, MIN + S], [MIN + 2 * S, 7 * MIN]);
    expect(resultOf({ withinMs: 2 * S, forMs: 5 * MIN }, traceOf({ fire, fan })).result).toBe('held');
    expect(resultOf({ withinMs: 2 * S - 1, forMs: 5 * MIN }, traceOf({ fire, fan })).result).toBe('broken');
  });

  test('obliges each time it becomes true, and tells the failures alone', () => {
    const twice = on([MIN, 2 * MIN], [4 * MIN, 5 * MIN]);
    const result = resultOf({}, traceOf({ fire: twice, fan: on([MIN, 3 * MIN]) }));
    expect(result).toEqual(broken('at 0:04:00 "fire" became true: "fan" was not true then, nor later'));
  });

  test('tells five moments, and how many more there are', () => {
    const often = on(...Array.from({ length: 9 }, (_, index) => [index * MIN + 1, index * MIN + 2] as const));
    const { because } = resultOf({}, traceOf({ fire: often }));
    expect(because).toHaveLength(6);
    expect(because.at(-1)).toBe('and 4 more such moments');
  });

  test('obliges at the start where it is true there', () => {
    const result = resultOf({}, traceOf({ fire: on([0, MIN]), fan: on([0, MIN]) }));
    expect(result).toEqual(held('at 0:00:00 "fire" became true: "fan" was true'));
  });

  test('has failed where that never happened, and says so', () => {
    const when: Expression = { kind: 'compare', name: 'coil-a.gas', operator: '>=', percentLfl: 25.0696378 };
    expect(resultOf({ when }, traceOf({ fan: on([0, MIN]) }))).toEqual(
      broken('"coil-a.gas >= 25.07 %LFL" was never true'),
    );
  });

  test('is not obliged by what happens after the end', () => {
    expect(resultOf({}, traceOf({ fire, endMs: MIN - 1 }))).toEqual(broken('"fire" was never true'));
  });
});

describe('the end of the drill', () => {
  const fire = on([MIN, 2 * MIN]);
  const became = 'at 0:01:00 "fire" became true:';

  test('leaves undecided what could still come: too short', () => {
    expect(resultOf({ withinMs: 45 * S }, traceOf({ fire, endMs: MIN + 44 * S }))).toEqual(
      broken(`${became} "fan" was not true by the end of the drill 44 s later; it is too short to wait 45 s`),
    );
    const fan = on([MIN, MIN + S]);
    expect(resultOf({ withinMs: 45 * S, forMs: MIN }, traceOf({ fire, fan, endMs: MIN + 44 * S }))).toEqual(
      broken(
        `${became} "fan" was not true for 1 min by the end of the drill 44 s later; it is too short to wait 45 s`,
      ),
    );
  });

  test('decides at its very last moment', () => {
    const result = resultOf({ withinMs: 45 * S }, traceOf({ fire, endMs: MIN + 45 * S }));
    expect(result).toEqual(broken(`${became} "fan" was not true within 45 s, nor later`));
    const fan = on([MIN + 45 * S, 9 * MIN]);
    expect(resultOf({ withinMs: 45 * S }, traceOf({ fire, fan, endMs: MIN + 45 * S })).result).toBe('held');
  });

  test('cuts short what should have lasted: too short', () => {
    const fan = on([MIN, 9 * MIN]);
    expect(resultOf({ forMs: 5 * MIN }, traceOf({ fire, fan, endMs: 6 * MIN })).result).toBe('held');
    expect(resultOf({ forMs: 5 * MIN }, traceOf({ fire, fan, endMs: 6 * MIN - 1 }))).toEqual(
      broken(
        `${became} "fan" was true from 0:01:00 to 0:05:59, 299.999 s, where the drill ends; it is too short to last 5 min`,
      ),
    );
  });
});

describe('an expectation of one moment', () => {
  test('looks at that moment, from the drill’s own start', () => {
    const trace = traceOf({ startMs: MIN, fan: on([3 * MIN, 4 * MIN]) });
    expect(resultOf({ when: { atMs: 2 * MIN } }, trace)).toEqual(held('at 0:02:00: "fan" was true'));
    expect(resultOf({ when: { atMs: 2 * MIN - 1 } }, trace)).toEqual(
      broken('at 0:01:59: "fan" was not true then, but 1 ms later'),
    );
    expect(resultOf({ when: { atMs: 3 * MIN } }, trace).result).toBe('broken');
  });
});

const answer = (atMs: number, rest: Partial<Answer> = {}): Answer => ({
  atMs,
  state: 'measuring',
  gasBit: false,
  selfTestPassed: true,
  gasPercentLfl: 0,
  counter: undefined,
  serial: undefined,
  ...rest,
});

describe('what a sensor says', () => {
  /** The moments between which the condition is true. */
  function trueIn(
    expression: Expression,
    requests: readonly Request[],
  ): readonly (readonly [number, boolean])[] {
    const condition = conditionOver(expression, traceOf({ sensor: { requests } }));
    return condition.map(({ atMs, value }) => [atMs, value] as const);
  }
  const reading = { kind: 'compare', name: 'coil-a.reading', operator: '>=', percentLfl: 20 } as const;

  test('is what it last answered, however long ago', () => {
    const requests = [
      { atMs: 1000, answer: answer(1100, { gasPercentLfl: 20, state: 'gas' }) },
      { atMs: 2000, answer: null },
      { atMs: 3000, answer: answer(3100) },
    ];
    expect(trueIn(reading, requests)).toEqual([
      [0, false],
      [1100, true],
      [3100, false],
    ]);
    expect(trueIn({ kind: 'is', name: 'coil-a.state', state: 'gas' }, requests)).toEqual([
      [0, false],
      [1100, true],
      [3100, false],
    ]);
  });

  test('compares as false without a valid number, whichever way', () => {
    for (const operator of ['>=', '<'] as const) {
      for (const none of [null, undefined]) {
        const requests = [{ atMs: 1000, answer: answer(1100, { gasPercentLfl: none }) }];
        expect(trueIn({ ...reading, operator }, requests)).toEqual([[0, false]]);
      }
    }
  });

  test('is an answer until the request that brings none, a late one counting from when it came', () => {
    const answers = { kind: 'signal', name: 'coil-a.answers' } as const;
    const requests = [
      { atMs: 1000, answer: answer(1100) },
      { atMs: 2000, answer: answer(3500) },
      { atMs: 3000, answer: null },
    ];
    expect(trueIn(answers, requests)).toEqual([
      [0, true],
      [3000, false],
      [3500, true],
    ]);
    // Not to be asked is no silence; never to be asked is no answer.
    expect(trueIn(answers, [{ atMs: 1000, answer: null }])).toEqual([[0, false]]);
    expect(trueIn(answers, [])).toEqual([[0, false]]);
  });

  test('is compared without the dust of a conversion', () => {
    const dusty = [{ atMs: 0, answer: answer(0, { gasPercentLfl: 200 * 0.1 - 1e-14 }) }];
    expect(trueIn(reading, dusty)).toEqual([[0, true]]);
    expect(trueIn({ ...reading, operator: '<' }, dusty)).toEqual([[0, false]]);
    const dustyAbove = [{ atMs: 0, answer: answer(0, { gasPercentLfl: 20 + 1e-14 }) }];
    expect(trueIn({ ...reading, operator: '>' }, dustyAbove)).toEqual([[0, false]]);
    expect(trueIn({ ...reading, operator: '<=' }, dustyAbove)).toEqual([[0, true]]);
  });

  test('of a sensor that the trace does not have is a broken promise of the bench', () => {
    expect(() => trueIn({ kind: 'signal', name: 'coil-x.answers' }, [])).toThrow('coil-x.answers');
  });
});

describe('on random signals', () => {
  const END = 24;
  const STATES = ['warming-up', 'measuring', 'gas', 'failed'] as const;
  const moment = fc.integer({ min: 0, max: END + 3 });
  const level = fc.integer({ min: 0, max: 3 });

  /** In order of time, of which some fall together. */
  function changes<Value>(value: fc.Arbitrary<Value>, first: Value): fc.Arbitrary<Change<Value>[]> {
    return fc
      .array(fc.record({ atMs: moment, value }), { maxLength: 8 })
      .map((list) => [{ atMs: 0, value: first }, ...list.toSorted((one, other) => one.atMs - other.atMs)]);
  }
  const requests = fc
    .array(
      fc.record({
        atMs: moment,
        late: fc.option(fc.integer({ min: 0, max: 4 })),
        state: fc.constantFrom(...STATES),
        gasPercentLfl: fc.oneof(level, fc.constantFrom(null, undefined)),
      }),
      { maxLength: 8 },
    )
    .map((list) =>
      list
        .toSorted((one, other) => one.atMs - other.atMs)
        .map(({ atMs, late, state, gasPercentLfl }) => ({
          atMs,
          answer: late === null ? null : answer(atMs + late, { state, gasPercentLfl }),
        })),
    );
  const traces = fc
    .record({
      fan: changes(fc.boolean(), false),
      fire: changes(fc.boolean(), true),
      sensor: fc.record({ gas: changes(level, 0), requests }),
      startMs: fc.integer({ min: 0, max: 3 }),
      endMs: fc.integer({ min: 4, max: END }),
    })
    .map(traceOf);
  const conditions = expressions({
    switches: ['fan', 'fire', 'coil-a.answers'],
    amounts: ['coil-a.gas', 'coil-a.reading'],
    states: { 'coil-a.state': STATES },
    percentLfl: level,
  });

  test('a condition is at every moment what it is when worked out for that moment alone', () => {
    fc.assert(
      fc.property(traces, conditions, (trace, expression) => {
        const condition = conditionOver(expression, trace);
        const at = (atMs: number) => condition.findLast((change) => change.atMs <= atMs)?.value;
        for (let atMs = trace.startMs; atMs <= trace.endMs; atMs += 1) {
          expect(at(atMs), String(atMs)).toBe(isTrueAt(expression, trace, atMs));
        }
        expect(condition[0]?.atMs).toBe(trace.startMs);
        condition.slice(1).forEach((change, index) => {
          expect(change.atMs).toBeGreaterThan(condition[index]?.atMs ?? Number.NaN);
          expect(change.value).not.toBe(condition[index]?.value);
        });
      }),
      { numRuns: 2000 },
    );
  });

  test('an expectation ends as it does when every moment is tried', () => {
    const seen = new Map<Verdict, number>();
    const when = fc.oneof(conditions, fc.record({ atMs: fc.integer({ min: 0, max: 4 }) }));
    const limit = fc.integer({ min: 0, max: 6 });
    fc.assert(
      fc.property(traces, when, conditions, limit, limit, (trace, condition, then, withinMs, forMs) => {
        fc.pre(!('atMs' in condition) || trace.startMs + condition.atMs <= trace.endMs);
        const expectation = { text: '', when: condition, then, withinMs, forMs };
        const verdict = slowVerdict(expectation, trace);
        const { result, because } = resultOf(expectation, trace);
        seen.set(verdict, (seen.get(verdict) ?? 0) + 1);
        expect(result).toBe(verdict === 'held' ? 'held' : 'broken');
        expect(because[0]?.endsWith('was never true')).toBe(verdict === 'never');
        const told = because.filter((sentence) => !sentence.endsWith('more such moments'));
        const undecided = told.filter((sentence) => sentence.includes('it is too short'));
        if (verdict === 'too short') expect(undecided).toEqual(told);
        else if (verdict === 'broken') expect(undecided.length).toBeLessThan(because.length);
        else expect(undecided).toEqual([]);
      }),
      { numRuns: 3000 },
    );
    for (const verdict of ['held', 'broken', 'too short', 'never'] as const)
      expect(seen.get(verdict), verdict).toBeGreaterThan(50);
  });
});
