/** A budget says whether a rig can meet its limits, item by item, and what would help where it cannot. */
import { describe, expect, test } from 'vitest';
import {
  adviceFor,
  type Budget,
  budgetOf,
  type Item,
  type ItemId,
  type Limit,
  type LimitId,
} from '../../../src/budget/index.ts';
import type { Rig } from '../../../src/rig/index.ts';
import { ms, percentLfl } from '../../../src/units/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { rigOf, SMALLEST } from '../rig/rig-text.ts';
import { manySensors } from './rigs.ts';

const NOTHING_ELSE = { networkMs: 0, refreshMs: 0 };
const budget = (rig: Rig, silent = 1): Budget => budgetOf(rig, { silent, ...NOTHING_ELSE });

function item({ response }: Budget, id: ItemId): Item {
  const found = response.items.find((one) => one.id === id);
  if (found === undefined) throw new Error(`no item ${id}`);
  return found;
}

function limit({ limits }: Budget, id: LimitId): Limit {
  const found = limits.find((one) => one.id === id);
  if (found === undefined) throw new Error(`no limit ${id}`);
  return found;
}

const brokenOf = ({ limits }: Budget): LimitId[] => limits.filter(({ fits }) => !fits).map(({ id }) => id);

describe('the demo rig', () => {
  const worked = budget(demoRig());

  test('meets every limit, and needs no advice', () => {
    expect(brokenOf(worked)).toEqual([]);
    expect(worked.fits).toBe(true);
    expect(adviceFor(demoRig(), worked)).toEqual([]);
  });
  test('takes the lag of its sensor from t90: 10 s / ln 10 × −ln(1 − 0.2) = 969.1 ms (computed)', () => {
    expect(item(worked, 'sensor').ms).toBeCloseTo(969.1, 1);
  });
  test('counts a dead time whole, and for the lag what it leaves of t90: 2 s + 8 s / ln 10 × −ln(1 − 0.2) = 2775.3 ms (computed)', () => {
    const demo = demoRig();
    const sensors = demo.sensors.map((one) => ({ ...one, deadTimeMs: ms(2000) }));
    const late = item(budget({ ...demo, sensors }), 'sensor');
    expect(late.ms).toBeCloseTo(2775.3, 1);
    expect(late.formula).toBe(
      'dead time 2 s −τ ln(1 − 20 %LFL / 100 %LFL), τ = (t90 − dead time) / ln 10, t90 10 s',
    );
    expect(item(worked, 'sensor').formula).toBe('−τ ln(1 − 20 %LFL / 100 %LFL), τ = t90 / ln 10, t90 10 s');
  });
  test('adds up to what it says', () => {
    const sum = worked.response.items.reduce((total, one) => total + one.ms, 0);
    expect(worked.response.airflowMs).toBeCloseTo(sum, 6);
    expect(worked.response.airflowMs - worked.response.commandedMs).toBe(4000);
    expect(worked.response.items.map(({ id }) => id)).toEqual([
      ...['sensor', 'comparator', 'poll', 'silent', 'answer', 'confirmation', 'command', 'write', 'fan'],
    ]);
  });
  test('names where every item and every limit is from', () => {
    for (const one of worked.response.items) expect(one.formula && one.source, one.id).toBeTruthy();
    for (const one of worked.limits) expect(one.source, one.id).toMatch(/60335|ASHRAE|RD 552|practice|line/u);
  });
  test('waits a period for its poll, and a time-out for the silent one', () => {
    expect(item(worked, 'poll').ms).toBe(1000);
    expect(item(worked, 'silent').ms).toBe(300);
    expect(item(budget(demoRig(), 0), 'silent').ms).toBe(0);
  });
});

describe('bus time of a cycle at 9600 baud: computed from MB-SER 2.5.1', () => {
  const rig = manySensors({ lines: [{ sensors: 10, baud: 9600, pollEveryMs: 2000 }] });
  const { lines } = budget(rig, 2);

  test('ten reads of 19 registers, inputs, two writes and a read back', () => {
    // 66.458 × 10 in whole milliseconds each; inputs of 26 bits 27.5; writes 28.6; read back 25.2.
    expect(lines[0]?.cycle.bestMs).toBe(10 * 67 + 28 + 2 * 29 + 26);
    expect(lines[0]?.longest).toMatchObject({ characters: 51 });
    expect(lines[0]?.requests).toBe(14);
  });
  test('two that fall silent cost their time-outs, and behind a gateway no retry', () => {
    expect(lines[0]?.cycle.worstMs).toBe(782 + 2 * (214 - 66));
    expect(lines[0]?.cycle.typicalMs).toBe(782 - 2 * 66 + 2 * 214);
  });
});

describe('a limit is broken where it should be', () => {
  test('a setpoint that a step to the LFL cannot reach is never told', () => {
    const demo = demoRig();
    const rig = { ...demo, policy: { ...demo.policy, setpoint: percentLfl(100) } };
    expect(budget(rig).response.commandedMs).toBe(Number.POSITIVE_INFINITY);
    expect(brokenOf(budget(rig))).toEqual(['respond', 'airflow', 'detector', 'chain']);
  });
  test('a time-out shorter than an answer is told as never heard, and a longer one is the advice', () => {
    const rig = manySensors({ lines: [{ sensors: 2, baud: 9600, timeoutMs: 60, gatewayMs: 20 }] });
    const worked = budget(rig, 0);
    expect(limit(worked, 'timeout')).toMatchObject({ fits: false, limitMs: 60 });
    expect(item(worked, 'answer').formula).toBe('takes longer than the time-out: it is never heard');
    expect(worked.response.commandedMs).toBe(Number.POSITIVE_INFINITY);
    expect(adviceFor(rig, worked)).toContainEqual(
      expect.objectContaining({ words: 'lengthen the time-out of line l0 to 70 ms', fits: true }),
    );
  });
  test('a gateway that waits longer than its client', () => {
    const rig = manySensors({ lines: [{ sensors: 2, baud: 19_200, timeoutMs: 300, gatewayMs: 1000 }] });
    const worked = budget(rig);
    expect(limit(worked, 'gateway')).toMatchObject({ fits: false, limitMs: 300 });
    expect(adviceFor(rig, worked).some(({ fits }) => fits)).toBe(true);
  });
  test('a sensor that is too slow for the LFL, and a quicker one is the advice', () => {
    const rig = manySensors({ lines: [{ sensors: 2, baud: null }], t90Ms: 120_000 });
    const worked = budget(rig);
    expect(brokenOf(worked)).toEqual(['detector']);
    // 30 s / ln 10 × −ln(0.8) = 2.907 s (computed).
    const [advice] = adviceFor(rig, worked);
    expect(advice).toMatchObject({ words: 'fit sensors with a t90 of 30 s at most', fits: true });
    expect(advice?.figures[0]?.afterMs).toBeCloseTo(2907, 0);
    // A dead time longer than that comes down to half of it; at 10 s: 5 s + 5 s / ln 10 × −ln(0.8) = 5.485 s.
    const late = { ...rig, sensors: rig.sensors.map((one) => ({ ...one, deadTimeMs: ms(60_000) })) };
    const [other] = adviceFor(late, budget(late));
    expect(other?.figures[0]?.afterMs).toBeCloseTo(5485, 0);
  });
  test('a watchdog that is fed at its last moment has expired', () => {
    const demo = demoRig();
    const at = (watchdogMs: number): Rig => ({
      ...demo,
      fieldIo: { ...demo.fieldIo, watchdogMs: ms(watchdogMs) },
    });
    expect(brokenOf(budget(at(1300)))).toEqual(['watchdog']);
    expect(brokenOf(budget(at(1301)))).toEqual([]);
  });
});

describe('247 sensors on 19 200 baud', () => {
  const lines = [
    { sensors: 0, baud: null },
    { sensors: 247, baud: 19_200 },
  ];
  const rig = manySensors({ lines });
  const worked = budget(rig);
  const advice = adviceFor(rig, worked);

  test('cannot meet its own limits: a cycle takes 247 × 33.23 ms (computed from MB-SER 2.5.1)', () => {
    expect(worked.fits).toBe(false);
    expect(brokenOf(worked)).toEqual(['ask', 'lostAnswer']);
    expect(worked.lines[1]?.cycle.bestMs).toBe(247 * 34);
  });
  test('are told what would do, worked out anew', () => {
    expect(advice.filter(({ fits }) => fits).length).toBeGreaterThan(0);
    for (const { figures } of advice.filter(({ fits }) => fits))
      expect(figures.every(({ afterMs, limitMs }) => afterMs <= limitMs)).toBe(true);
  });
  test('are told nothing that does not help', () => {
    for (const { figures } of advice)
      expect(figures.some(({ beforeMs, afterMs }) => afterMs < beforeMs)).toBe(true);
    expect(advice.map(({ words }) => words).join()).not.toMatch(/t90|field I\/O/u);
  });
  test('with the field I/O among them, feed its watchdog too seldom as well', () => {
    const together = manySensors({ lines: [{ sensors: 246, baud: 19_200 }] });
    expect(brokenOf(budget(together))).toContain('watchdog');
    const words = adviceFor(together, budget(together)).map((one) => one.words);
    expect(words).toContain('put the field I/O on a line of its own');
  });
});

describe('advice', () => {
  test('puts two changes together where one is not enough', () => {
    const rig = manySensors({ lines: [{ sensors: 240, baud: 19_200 }], t90Ms: 120_000 });
    const advice = adviceFor(rig, budget(rig));
    expect(advice.some(({ fits }) => fits)).toBe(true);
    expect(advice[0]?.words).toMatch(/, and /u);
  });
  test('says what a change costs beside work', () => {
    const rig = manySensors({ lines: [{ sensors: 246, baud: 19_200 }] });
    const fewer = adviceFor(rig, budget(rig)).find(({ words }) => words.startsWith('read only'));
    expect(fewer?.costs).toEqual(['a counter at rest and an exchanged sensor are no longer noticed']);
  });
  test('speeds up a serial line by its own address', () => {
    const made = manySensors({ lines: [{ sensors: 246, baud: null }] });
    const serial = { kind: 'rtu', path: '/dev/x', baud: 19_200, parity: 'even', stopBits: 1 } as const;
    const rig = { ...made, lines: made.lines.map((line) => ({ ...line, listen: [serial] })) };
    const faster = adviceFor(rig, budget(rig)).find(({ words }) => words.includes('baud'));
    expect(faster).toMatchObject({ fits: true });
  });
  test('allows a retry where a lost answer would wait a whole cycle', () => {
    const lines = [{ sensors: 20, baud: null, retries: 0, pollEveryMs: 4000 }];
    const rig = manySensors({ lines, policy: '  silentAfter: 4 s' });
    const worked = budget(rig);
    expect(brokenOf(worked)).toContain('lostAnswer');
    expect(adviceFor(rig, worked).map(({ words }) => words)).toContain('allow one retry');
  });
});

describe('a contact', () => {
  test('is read with the inputs of the field I/O', () => {
    const rig = rigOf(SMALLEST.replace('unitId: 11 }', 'kind: contact, input: 8 }'));
    const worked = budget(rig);
    expect(worked.response.sensor).toBe('coil-a');
    expect(item(worked, 'comparator').name).toBe('its own comparator');
    expect(limit(worked, 'respond').needMs).toBe(1000);
  });
});

test('commands on another line wait for what it is busy with, with one silent sensor there at worst', () => {
  const lines = [
    { sensors: 3, baud: null, timeoutMs: 900 },
    { sensors: 3, baud: null, timeoutMs: 100 },
  ];
  const worked = budget(manySensors({ lines, t90Ms: 10_000 }), 1);
  const far = budget(manySensors({ lines: lines.toReversed() }), 1);
  expect(item(worked, 'silent').ms + item(worked, 'command').ms).toBeGreaterThanOrEqual(900);
  expect(item(far, 'silent').ms).toBe(900);
  const none = budget(manySensors({ lines: lines.toReversed() }), 0);
  expect(item(none, 'command').ms).toBe(0);
});

test('what a network or a sensor’s own refresh adds is counted as told', () => {
  const told = budgetOf(demoRig(), { silent: 0, networkMs: 20, refreshMs: 1000 });
  expect(item(told, 'comparator')).toMatchObject({
    ms: 1000,
    source: '--refresh, from the sensor’s data sheet',
  });
  expect(item(told, 'answer').ms).toBe(20);
  expect(item(told, 'write').ms).toBe(40);
});
