import { describe, expect, test } from 'vitest';
import { load, SMALLEST, sensorWith } from './rig-text.ts';

function warnings(text: string): readonly string[] {
  const { problems, warnings: said } = load(text);
  expect(problems).toEqual([]);
  return said;
}

const policy = (setting: string): string => `${SMALLEST}policy: { ${setting} }\n`;

describe('past a published limit a rig loads with a warning that names limit and source', () => {
  test.each([
    [
      'setpoint: 26 %LFL',
      '7:21: policy.setpoint: 26 %LFL is above the published 25 %LFL ' +
        '(RD 552/2019 IF-16 3.1.4 (seen); IEC 60335-2-40 Annex LL (second hand))',
    ],
    [
      'setpoint: 40000 ppm',
      '7:21: policy.setpoint: 27.693 %LFL is above the published 25 %LFL ' +
        '(RD 552/2019 IF-16 3.1.4 (seen); IEC 60335-2-40 Annex LL (second hand))',
    ],
    [
      'hold: 4 min',
      '7:17: policy.hold: 4 min is under the published 5 min ' +
        '(ANSI/ASHRAE 15 7.6.2.4; UL 60335-2-40 Annex GG (memory))',
    ],
    [
      'respondWithin: 16 s',
      '7:26: policy.respondWithin: 16 s is slower than the published 15 s ' +
        '(ANSI/ASHRAE 15 7.6.2 (memory; 15 s second hand))',
    ],
    [
      'fanProofWithin: 11 s',
      '7:27: policy.fanProofWithin: 11 s is slower than the published 10 s ' +
        '(RD 552/2019 IF-04 3.3.3 (seen; stated for ventilated enclosures))',
    ],
  ])('%s', (setting, warning) => {
    expect(warnings(policy(setting))).toEqual([warning]);
  });

  test('at the limit itself it does not', () => {
    expect(
      warnings(policy('setpoint: 25 %LFL, hold: 5 min, respondWithin: 15 s, fanProofWithin: 10 s')),
    ).toEqual([]);
  });

  test('every limit that is passed is told', () => {
    expect(
      warnings(policy('setpoint: 30 %LFL, hold: 1 min, respondWithin: 1 min, fanProofWithin: 1 min')),
    ).toHaveLength(4);
  });
});

describe('a choice that can bite is told', () => {
  test('a contact that closes on gas, because a broken wire reads clear', () => {
    expect(warnings(sensorWith('kind: contact, input: 8, contact: closes-on-gas'))).toEqual([
      '6:66: sensors[0].contact: a broken wire of coil-a reads clear; opens-on-gas reads gas ' +
        '(common practice, no source)',
    ]);
  });

  test('a line so patient that silence is noticed too late', () => {
    const line = (timeout: string): string => `${SMALLEST}lines: [{ id: main, timeout: ${timeout} }]\n`;
    // Three tries and the wait for the next poll: 3 × timeout + 1 s against 5 s.
    expect(warnings(line('1334 ms'))).toEqual([
      '7:9: lines[0]: on line main one poll of a silent sensor takes 4 s (timeout × (retries + 1)); ' +
        'with a poll every 1 s it is noticed later than silentAfter, 5 s',
    ]);
    expect(warnings(line('1333 ms'))).toEqual([]);
    expect(warnings(line('1 s, retries: 3')), 'just in time').toEqual([]);
  });

  test('a gateway that gives up later than its controller waits', () => {
    const line = (timeouts: string): string => `${SMALLEST}lines: [{ id: main, ${timeouts} }]\n`;
    expect(warnings(line('pace: { timeout: 300 ms }'))).toEqual([
      '7:27: lines[0].pace: the gateway of line main gives up after 300 ms, no sooner than the controller waits, ' +
        '300 ms: its exceptions come too late',
    ]);
    expect(warnings(line('timeout: 200 ms, pace: { baud: 9600 }'))).toHaveLength(1);
    expect(warnings(line('pace: { timeout: 299 ms }'))).toEqual([]);
    expect(warnings(line('timeout: 300 ms')), 'no gateway').toEqual([]);
  });

  test('a serial side too slow for the poll', () => {
    const line = (poll: string): string => `${SMALLEST}lines: [{ id: main, ${poll} }]\n`;
    // By hand: 19 input registers; 25 inputs, 9 coils, and two writes: (13 + 38) + (13 + 4) + (13 + 2) + 2 ×
    // (13 + 1) characters of 11 bits, and 10 silences of 3.5 characters, at 1200 bits a second.
    const byHandMs = Math.ceil(((51 + 17 + 15 + 28 + 35) * 11 * 1000) / 1200);
    expect(byHandMs).toBe(1339);
    expect(warnings(line('pace: { baud: 1200 }'))).toEqual([
      '7:9: lines[0].pollEvery: at 1200 baud one poll of all on line main takes 1.3 s or more, longer than pollEvery, 1 s',
    ]);
    expect(warnings(line('pollEvery: 1338 ms, pace: { baud: 1200 }'))).toHaveLength(1);
    expect(warnings(line('pollEvery: 1339 ms, pace: { baud: 1200 }'))).toEqual([]);
    expect(warnings(line('pace: { baud: 9600 }'))).toEqual([]);
  });
});
