import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  findingsOf,
  foldOutcome,
  nextFindingMs,
  reportsGasNow,
  type SensorBelief,
  UNHEARD,
  unknownSinceMs,
  wellAtMs,
} from '../../../src/belief/index.ts';
import { ms } from '../../../src/units/index.ts';
import { beliefOf, found, LIMITS, PLANNED, poll, type Said, times } from './polls.ts';

const wellOf = (belief: SensorBelief, now: number) =>
  wellAtMs(belief, findingsOf(belief, LIMITS, PLANNED, ms(now)), LIMITS);

describe('a sensor nobody has heard', () => {
  it('is not well and not yet a finding', () => {
    expect(findingsOf(UNHEARD, LIMITS, '240811', ms(60_000))).toEqual([]);
    expect(wellOf(UNHEARD, 60_000)).toBeNull();
    expect(reportsGasNow(UNHEARD, LIMITS)).toBe(false);
    expect(nextFindingMs(UNHEARD, LIMITS)).toBe(Number.POSITIVE_INFINITY);
  });

  it('is silent once it was asked in vain for so long', () => {
    const belief = beliefOf('silent');
    expect(findingsOf(belief, LIMITS, null, ms(4999))).toEqual([]);
    expect(findingsOf(belief, LIMITS, null, ms(5000))).toEqual(['silent']);
    expect(nextFindingMs(belief, LIMITS)).toBe(5000);
  });

  it('may take its time to warm up', () => {
    expect(found(...times(30, { state: 'warming-up', selfTestPassed: false } as const))).toEqual([]);
    expect(beliefOf({ state: 'warming-up' }).lastState).toBe('warming-up');
    for (const count of [29, 30])
      expect(beliefOf(...times(count, { state: 'warming-up' } as const)).unansweredSinceMs).toBeNull();
  });

  it('is not yet silent when it warms up in time', () => {
    expect(found(...times(4, 'silent' as const), { state: 'warming-up' })).toEqual([]);
  });

  it('does not end its silence by warming up: only a self-tested answer does', () => {
    const silence = times(7, 'silent' as const);
    expect(found(...silence, { state: 'warming-up' })).toEqual(['silent']);
    expect(found(...silence, { state: 'warming-up' }, {})).toEqual([]);
  });
});

describe('silence', () => {
  it('counts from the first request without a good answer, whatever came instead', () => {
    for (const said of ['silent', 'refused', 'mismatched'] as const) {
      expect(found({}, ...times(5, said))).toEqual([]);
      expect(found({}, ...times(6, said))).toEqual(['silent']);
    }
    expect(found({}, 'silent', 'refused', 'mismatched', { state: 'warming-up' }, 'silent', 'silent')).toEqual(
      ['silent'],
    );
  });

  it('is over at the first good answer whose self-test has passed', () => {
    expect(found({}, ...times(9, 'silent' as const), {})).toEqual([]);
    expect(beliefOf({}, 'silent', {}).unansweredSinceMs).toBeNull();
  });

  it('lasts through answers without a passed self-test', () => {
    expect(
      found({}, ...times(4, 'silent' as const), { selfTestPassed: false }, { selfTestPassed: false }),
    ).toEqual(['silent']);
  });

  it('lasts through an answer that says failed, until the self-test has passed', () => {
    const failed = { state: 'failed', selfTestPassed: false, gasPercentLfl: null } as const;
    expect(found({}, ...times(6, 'silent' as const), failed)).toEqual(['silent', 'selfFailed']);
    expect(found({}, ...times(6, 'silent' as const), failed, { selfTestPassed: false })).toEqual(['silent']);
    expect(found({}, ...times(6, 'silent' as const), failed, {})).toEqual([]);
  });

  it('does not begin while good answers come, self-test or not', () => {
    expect(found({}, ...times(9, { selfTestPassed: false }))).toEqual([]);
  });

  it('comes later where nobody asks, and comes all the same', () => {
    expect(findingsOf(beliefOf({}), LIMITS, PLANNED, ms(10_999))).toEqual([]);
    expect(findingsOf(beliefOf({}), LIMITS, PLANNED, ms(11_000))).toEqual(['silent']);
    expect(wellOf(beliefOf({}), 3_600_000)).toBeNull();
  });

  it('is not ended by a request that fails at last, and dates from before it', () => {
    const asked = foldOutcome(beliefOf({}), poll(3_600_000, 'refused'), LIMITS);
    expect(findingsOf(asked, LIMITS, PLANNED, ms(3_600_001))).toEqual(['silent']);
    expect(unknownSinceMs(ms(3_600_000), ms(0), LIMITS)).toBe(0);
    expect(unknownSinceMs(ms(1000), ms(0), LIMITS)).toBe(1000);
    expect(unknownSinceMs(ms(11_000), ms(0), LIMITS)).toBe(0);
    expect(unknownSinceMs(ms(12_999), ms(2000), LIMITS)).toBe(12_999);
    expect(unknownSinceMs(ms(60_000), null, LIMITS)).toBe(60_000);
    expect(unknownSinceMs(null, ms(1000), LIMITS)).toBe(1000);
    expect(unknownSinceMs(null, null, LIMITS)).toBeNull();
  });

  it('is not ended by an answer that lay about for as long as it lasts', () => {
    const late = { ...poll(1000, {}), doneAtMs: ms(3_600_000) };
    const belief = foldOutcome(beliefOf({}), late, LIMITS);
    expect(findingsOf(belief, LIMITS, PLANNED, late.doneAtMs)).toEqual(['silent']);
  });

  it('begins when a sensor that has been good only warms up', () => {
    expect(found({}, ...times(6, { state: 'warming-up' } as const))).toEqual(['silent']);
  });

  it('begins when a state comes that its profile does not know, if it comes first', () => {
    expect(found({}, ...times(6, { state: undefined }))).toEqual(['silent']);
    expect(found(...times(6, { state: undefined }))).toEqual(['silent']);
    const [strange, sound] = [beliefOf({}, { state: undefined }), beliefOf({}, { state: undefined }, {})];
    expect([strange.lastState, strange.selfTestPassed]).toEqual([undefined, false]);
    expect([sound.lastState, sound.selfTestPassed, sound.unansweredSinceMs]).toEqual([
      'measuring',
      true,
      null,
    ]);
  });
});

describe('the self-test', () => {
  it('counts once the sensor says so in a good answer', () => {
    expect(beliefOf({ state: 'warming-up', selfTestPassed: true }).selfTestPassed).toBe(false);
    expect(beliefOf({ selfTestPassed: false }).selfTestPassed).toBe(false);
    expect(beliefOf('silent').selfTestPassed).toBe(false);
    expect(beliefOf({}).selfTestPassed).toBe(true);
  });

  it('is lost by a sensor that warms up again', () => {
    expect(beliefOf({}, { state: 'warming-up' }).selfTestPassed).toBe(false);
    expect(beliefOf({}, { state: 'warming-up' }, {}).selfTestPassed).toBe(true);
  });

  it('is lost by a sensor that takes it back', () => {
    expect(beliefOf({}, { selfTestPassed: false }).selfTestPassed).toBe(false);
  });
});

describe('gas', () => {
  it('is what state or bit say, whatever the number says', () => {
    expect(found({ state: 'gas', gasPercentLfl: 3 })).toEqual(['gas']);
    expect(found({ gasBit: true, gasPercentLfl: 3 })).toEqual(['gas']);
    expect(found({ state: 'gas', gasPercentLfl: null })).toEqual(['gas', 'invalid']);
  });

  it('begins at the setpoint, not below it', () => {
    expect(found({ gasPercentLfl: 19.9 })).toEqual([]);
    expect(found({ gasPercentLfl: 20 })).toEqual(['contradiction']);
  });

  it('goes on after state and bit are clear until the number is below the clearing level', () => {
    expect(found({ state: 'gas', gasPercentLfl: 21 }, { gasPercentLfl: 18 })).toEqual(['gas']);
    expect(found({ state: 'gas', gasPercentLfl: 21 }, { gasPercentLfl: 17.9 })).toEqual([]);
    expect(found({ state: 'gas', gasPercentLfl: 21 }, { gasPercentLfl: null })).toEqual(['gas', 'invalid']);
  });

  it('is believed of a sensor that warms up, before and after it was good', () => {
    const warming = { state: 'warming-up', gasBit: true, selfTestPassed: true } as const;
    expect(found(warming)).toEqual(['gas']);
    expect(found({}, warming)).toEqual(['gas']);
    expect(found(warming, { state: 'warming-up' })).toEqual(['gas']);
    expect(beliefOf(warming).selfTestPassed).toBe(false);
    expect(reportsGasNow(beliefOf(warming), LIMITS)).toBe(true);
  });

  it('goes on through silence and warming up', () => {
    expect(found({ state: 'gas', gasPercentLfl: 30 }, ...times(6, 'silent' as const))).toEqual([
      'gas',
      'silent',
    ]);
    expect(found({ state: 'gas', gasPercentLfl: 30 }, { state: 'warming-up', gasPercentLfl: null })).toEqual([
      'gas',
    ]);
  });

  it('is now as long as the last good answer is at or above the setpoint', () => {
    expect(reportsGasNow(beliefOf({ state: 'gas', gasPercentLfl: 3 }), LIMITS)).toBe(true);
    expect(reportsGasNow(beliefOf({ gasBit: true }), LIMITS)).toBe(true);
    expect(reportsGasNow(beliefOf({ gasPercentLfl: 20 }), LIMITS)).toBe(true);
    expect(reportsGasNow(beliefOf({ state: 'gas', gasPercentLfl: 30 }, 'silent'), LIMITS)).toBe(true);
    expect(reportsGasNow(beliefOf({ state: 'gas', gasPercentLfl: 30 }, { gasPercentLfl: 19 }), LIMITS)).toBe(
      false,
    );
    expect(reportsGasNow(beliefOf({ gasPercentLfl: null }), LIMITS)).toBe(false);
  });
});

describe('a contradiction', () => {
  it('is a number at the setpoint that its own state calls clear', () => {
    expect(found({ gasPercentLfl: 25 })).toEqual(['contradiction']);
    expect(found({ gasPercentLfl: 25 }, { gasPercentLfl: 18 })).toEqual(['contradiction']);
    expect(found({ gasPercentLfl: 25 }, { gasPercentLfl: 17.9 })).toEqual([]);
  });

  it('gives way to gas once the state agrees', () => {
    expect(found({ gasPercentLfl: 25 }, { state: 'gas', gasPercentLfl: 25 })).toEqual(['gas']);
  });

  it('stands beside gas when the state turns clear too early', () => {
    expect(found({ state: 'gas', gasPercentLfl: 25 }, { gasPercentLfl: 25 })).toEqual([
      'gas',
      'contradiction',
    ]);
  });
});

describe('a counter', () => {
  it('that stands still over good answers is frozen', () => {
    expect(found(...times(5, { counter: 7 }))).toEqual([]);
    expect(found(...times(6, { counter: 7 }))).toEqual(['frozen']);
    expect(found(...times(6, { counter: 7 }), { counter: 8 })).toEqual([]);
  });

  it('may wrap', () => {
    expect(found({ counter: 65535 }, { counter: 0 }, { counter: 1 })).toEqual([]);
  });

  it('is not judged while nobody hears it', () => {
    expect(found({ counter: 7 }, ...times(20, 'silent' as const), { counter: 27 })).toEqual([]);
  });

  it('is not judged in a failed sensor, and not where there is none', () => {
    expect(found(...times(9, { state: 'failed', counter: 7 } as const))).toEqual(['selfFailed']);
    expect(found(...times(9, { counter: undefined }))).toEqual([]);
  });

  it('counts from the first good answer', () => {
    expect(beliefOf('silent', 'silent', {}).counterMovedAtMs).toBe(2000);
  });
});

describe('other findings', () => {
  it('a sensor that says failed has failed', () => {
    expect(found({ state: 'failed', gasPercentLfl: null })).toEqual(['selfFailed']);
    expect(found({ state: 'failed', gasPercentLfl: null }, {})).toEqual([]);
  });

  it('a good answer without a number is invalid', () => {
    expect(found({ gasPercentLfl: null })).toEqual(['invalid']);
    expect(found({ gasPercentLfl: null }, {})).toEqual([]);
  });

  it('a serial other than planned is a stranger; an unplanned or unknown one is not', () => {
    expect(found({ serial: '999999' })).toEqual(['stranger']);
    expect(found({ serial: undefined })).toEqual([]);
    expect(findingsOf(beliefOf({ serial: '999999' }), LIMITS, null, ms(0))).toEqual([]);
  });
});

describe('well', () => {
  it('dates from the question of the last good answer', () => {
    expect(wellOf(beliefOf({}, {}), 1500)).toBe(1000);
  });

  it('needs a number below the clearing level, a passed self-test and no open request', () => {
    expect(wellOf(beliefOf({ gasPercentLfl: 17.9 }), 100)).toBe(0);
    expect(wellOf(beliefOf({ gasPercentLfl: 18 }), 100)).toBeNull();
    expect(wellOf(beliefOf({ selfTestPassed: false }), 100)).toBeNull();
    expect(wellOf(beliefOf({}, 'silent'), 1100)).toBeNull();
    expect(wellOf(beliefOf({ serial: '999999' }), 100)).toBeNull();
    expect(wellAtMs(beliefOf({ gasPercentLfl: null }), [], LIMITS)).toBeNull();
  });
});

describe('laws over any run of polls', () => {
  const heard: fc.Arbitrary<Said> = fc.record({
    state: fc.constantFrom('warming-up', 'measuring', 'gas', 'failed', undefined),
    gasPercentLfl: fc.constantFrom(null, 0, 5, 17.9, 18, 19.9, 20, 40),
    gasBit: fc.boolean(),
    selfTestPassed: fc.boolean(),
    counter: fc.constantFrom(1, 2, undefined),
    serial: fc.constantFrom('240811', '999999', undefined),
  });
  const said: fc.Arbitrary<Said> = fc.oneof(
    { weight: 3, arbitrary: heard },
    { weight: 1, arbitrary: fc.constantFrom('silent', 'refused', 'mismatched') },
  );
  const polls = fc.array(said, { minLength: 1, maxLength: 25 });

  /** Calls `law` at every poll with the belief before and after it. */
  const alwaysHolds = (
    law: (before: SensorBelief, one: Said, next: SensorBelief, now: number) => void,
  ): void => {
    fc.assert(
      fc.property(polls, (all) => {
        let belief = UNHEARD;
        all.forEach((one, index) => {
          const next = foldOutcome(belief, poll(index * 1000, one), LIMITS);
          law(belief, one, next, index * 1000);
          belief = next;
        });
      }),
    );
  };
  const isGood = (one: Said): one is Exclude<Said, string> =>
    typeof one === 'object' && one.state !== undefined && (one.state !== 'warming-up' || one.gasBit === true);
  /** Gas comes before warming up. */
  const taken = (one: Exclude<Said, string>): Exclude<Said, string> =>
    one.state === 'warming-up' ? { ...one, state: 'gas', selfTestPassed: false } : one;

  it('gas and contradiction only end below the clearing level, with state and bit clear', () => {
    alwaysHolds((before, one, next) => {
      const reason = before.gas || before.contradiction;
      if (!reason || next.gas || next.contradiction) return;
      expect(isGood(one)).toBe(true);
      if (!isGood(one)) return;
      expect(one.state).not.toBe('gas');
      expect(one.gasBit).toBe(false);
      expect(one.gasPercentLfl).toBeLessThan(LIMITS.clearBelow);
    });
  });

  it('nothing but a good answer moves the last one', () => {
    alwaysHolds((before, one, next) => {
      if (!isGood(one)) expect(next.lastGood).toBe(before.lastGood);
      else expect(next.lastGood?.heard).toMatchObject(taken(one));
    });
  });

  it('a pass is held only by a sensor whose last answer said so', () => {
    alwaysHolds((before, one, next) => {
      if (typeof one === 'string') expect(next.selfTestPassed).toBe(before.selfTestPassed);
      else expect(next.selfTestPassed).toBe(isGood(one) && taken(one).selfTestPassed === true);
    });
  });

  it('well means no finding, a pass, and a number below the clearing level in the last answer', () => {
    alwaysHolds((_, one, next, now) => {
      const atMs = wellOf(next, now);
      if (atMs === null) return;
      expect(atMs).toBe(now);
      expect(one).toMatchObject({ selfTestPassed: true, gasBit: false, state: 'measuring' });
      expect(findingsOf(next, LIMITS, PLANNED, ms(now))).toEqual([]);
      expect(next.lastGood?.heard.gasPercentLfl).toBeLessThan(LIMITS.clearBelow);
    });
  });

  it('silence that is due comes up without a further poll', () => {
    alwaysHolds((_, __, next, now) => {
      const dueMs = nextFindingMs(next, LIMITS);
      if (dueMs === Number.POSITIVE_INFINITY || dueMs <= now) return;
      expect(findingsOf(next, LIMITS, null, ms(dueMs - 1))).not.toContain('silent');
      expect(findingsOf(next, LIMITS, null, ms(dueMs))).toContain('silent');
    });
  });
});
