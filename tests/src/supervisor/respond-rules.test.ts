/** Scenarios over the composed core, judged by what can be seen from outside: getting into mitigation. */
import { describe, expect, it } from 'vitest';
import { ms } from '../../../src/units/index.ts';
import { MINUTE, NEW_RECORD, Outside, SECOND } from './outside.ts';
import { mitigates, type Seen, serves, stopped } from './seen.ts';
import { onTwoLines, rigWith, type Says } from './tiny-rig.ts';

/** One poll cycle and the turns in it: what this supervisor needs, far inside any limit. */
const A_POLL = 1100;
const T = 2 * MINUTE;

function cooling(outside = new Outside()): Outside {
  outside.calls.cooling = true;
  return outside.run(T);
}

const mitigatesFrom = (outside: Outside, fromMs: number): number => outside.first(fromMs, mitigates) - fromMs;

describe('respond', () => {
  it.each(['coil-a', 'coil-b'])('mitigates on gas at %s', (sensor) => {
    const outside = cooling();
    expect(serves(outside.at(T))).toBe(true);
    outside.gas(sensor, 30).run(T + MINUTE);
    expect(mitigatesFrom(outside, T)).toBeLessThanOrEqual(A_POLL);
  });

  it('mitigates on gas at a contact', () => {
    const outside = cooling();
    outside.closed.set('grille', false);
    outside.run(T + MINUTE);
    expect(mitigatesFrom(outside, T)).toBeLessThanOrEqual(A_POLL);
  });

  it('writes the mitigation before it asks anybody else', () => {
    const outside = cooling()
      .gas('coil-a', 30)
      .run(T + MINUTE);
    const reported = outside.facts.find(
      (fact) => fact.id === 'hazard.raised' && fact.fields.hazard === 'gas',
    );
    const written = outside.first(T, mitigates);
    const others = outside.asked
      .get('coil-b')
      ?.filter((atMs) => atMs > (reported?.atMs ?? 0) && atMs < written);
    expect(written - (reported?.atMs ?? 0)).toBeLessThanOrEqual(10);
    expect(others).toEqual([]);
  });

  it('does not wait for the cycle of another line that carries the field I/O', () => {
    const outside = cooling(new Outside(onTwoLines(ms(4000))))
      .gas('coil-b', 30)
      .run(T + MINUTE);
    expect(mitigatesFrom(outside, T)).toBeLessThanOrEqual(A_POLL);
  });

  it('is not made late by sensors that are silent', () => {
    const outside = cooling()
      .say('coil-a', { answers: false })
      .run(2 * T)
      .gas('coil-b', 30)
      .run(2 * T + MINUTE);
    const alarmed = outside.first(2 * T, (seen) => seen.alarm);
    expect(alarmed - 2 * T).toBeLessThanOrEqual(A_POLL);
  });
});

describe('other reasons', () => {
  const cases: readonly [string, Partial<Says>, number][] = [
    ['silent', { answers: false }, 5 * SECOND],
    ['silent, by warming up only', { state: 'warming-up', selfTestPassed: false }, 5 * SECOND],
    ['self-failed', { state: 'failed', gas: null, selfTestPassed: false }, 0],
    ['implausible, by a number that its state contradicts', { gas: 25 }, 0],
    ['implausible, by no number', { gas: null }, 0],
    ['implausible, by a counter at rest', { counterStands: true }, 5 * SECOND],
    ['identity', { serial: '999999' }, 0],
  ];

  it.each(cases)('%s: mitigates in time, with the right lamp', (_, says, onsetMs) => {
    const outside = cooling()
      .say('coil-b', says)
      .run(T + MINUTE);
    const took = outside.first(T, mitigates) - T;
    // A counter's rest is counted from the first answer that shows it.
    expect(took).toBeLessThanOrEqual(onsetMs + 2 * A_POLL);
    const alarm = says.gas === 25;
    expect(outside.at(T + MINUTE)).toMatchObject({ alarm, trouble: !alarm });
  });

  it.each(cases)('%s: keeps mitigating while it lasts, long past the hold', (_, says) => {
    const outside = cooling()
      .say('coil-b', says)
      .run(T + 10 * MINUTE);
    const since = outside.first(T, mitigates);
    expect(outside.seen.filter((seen) => seen.atMs >= since).every(mitigates)).toBe(true);
  });

  it('a silent field I/O is a silent contact too, and is told once it answers', () => {
    const outside = cooling();
    outside.ioAnswers = false;
    outside.run(T + 10 * SECOND);
    outside.ioAnswers = true;
    outside.run(T + 12 * SECOND);
    expect(mitigates(outside.at(T + 12 * SECOND))).toBe(true);
    expect(
      outside.facts.some((fact) => fact.id === 'hazard.raised' && fact.fields.subject === 'grille'),
    ).toBe(true);
  });
});

describe('ask', () => {
  it('asks every sensor in time from power-up on, dead or alive', () => {
    const outside = new Outside().say('coil-a', { answers: false }).run(5 * MINUTE);
    for (const sensor of ['coil-a', 'coil-b']) {
      const asked = [0, ...(outside.asked.get(sensor) ?? []), 5 * MINUTE];
      const gaps = asked.slice(1).map((atMs, index) => atMs - (asked[index] ?? 0));
      expect(Math.max(...gaps)).toBeLessThanOrEqual(outside.rig.policy.askWithinMs);
      expect(Math.max(...gaps)).toBeLessThanOrEqual(3 * A_POLL);
    }
  });
});

describe('announce', () => {
  it('shows alarm while gas is reported, until it is below the clearing level', () => {
    const outside = cooling()
      .gas('coil-a', 30)
      .run(T + MINUTE)
      .gas('coil-a', 19)
      .run(T + 2 * MINUTE);
    expect(outside.at(T + 2 * MINUTE)).toMatchObject({ alarm: true, trouble: false });
    outside.gas('coil-a', 5).run(T + 3 * MINUTE);
    expect(outside.at(T + 3 * MINUTE)).toMatchObject({ alarm: false, trouble: false });
  });

  it('shows both where gas and trouble stand, and trouble while airflow is missing', () => {
    const outside = cooling()
      .gas('coil-a', 30)
      .say('coil-b', { answers: false })
      .run(T + MINUTE);
    expect(outside.at(T + MINUTE)).toMatchObject({ alarm: true, trouble: true });
    const airless = cooling();
    airless.fanDead = true;
    airless.run(T + MINUTE);
    expect(airless.at(T + MINUTE)).toMatchObject({ alarm: false, trouble: true });
    expect(airless.first(T, (seen) => seen.trouble) - T).toBeLessThanOrEqual(10 * SECOND + 2 * A_POLL);
  });
});

describe('fire', () => {
  const off = (seen: Seen): boolean => !seen.fan && stopped(seen);

  it('stops everything within five seconds, in whatever state, and while it stands', () => {
    const states: readonly ((outside: Outside) => Outside)[] = [
      (outside) => outside,
      (outside) => outside.gas('coil-a', 30).run(T + MINUTE),
      (outside) =>
        outside
          .say('coil-a', { answers: false })
          .say('coil-b', { answers: false })
          .run(T + MINUTE),
      (outside) =>
        outside
          .gas('coil-a', 30)
          .run(T + MINUTE)
          .gas('coil-a', 0)
          .run(T + 2 * MINUTE),
    ];
    for (const arrange of states) {
      const outside = arrange(cooling());
      const atMs = outside.nowMs;
      outside.fire = true;
      outside.run(atMs + 10 * MINUTE);
      const since = outside.first(atMs, off);
      expect(since - atMs).toBeLessThanOrEqual(5 * SECOND);
      expect(outside.seen.filter((seen) => seen.atMs >= since).every(off)).toBe(true);
    }
  });

  it('at a power-up lets nothing start', () => {
    const outside = new Outside(rigWith(), NEW_RECORD);
    outside.calls.cooling = true;
    outside.fire = true;
    outside.run(MINUTE);
    expect(outside.seen.every(off)).toBe(true);
  });
});
