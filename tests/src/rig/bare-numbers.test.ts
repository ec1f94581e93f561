import { describe, expect, test } from 'vitest';
import { load, SMALLEST, sensorWith } from './rig-text.ts';

/** What to write, and the one sentence it is refused with: "LINE:COLUMN: PATH: sentence". */
type Refusals = readonly (readonly [string, string])[];

const TIMES = 's, ms, min, h, days, years';

describe('a bare number where a unit matters lists the units it takes', () => {
  const top = (key: string, value: string): string =>
    SMALLEST.replace(new RegExp(`^${key}:.*\n`, 'mu'), '').replace('rig: 1\n', `rig: 1\n${key}: ${value}\n`);
  const refusals: Refusals = [
    [
      top('charge', '4.2'),
      '2:9: charge: 4.2 needs its unit, such as "4.2 kg" (units it takes: kg, g, lb, oz)',
    ],
    [
      top('room', '{ floor: 24, height: 2.5 m }'),
      '2:16: room.floor: 24 needs its unit, such as "24 m2" (units it takes: m2, ft2)',
    ],
    [
      top('room', '{ floor: 24 m2, height: 2.5 }'),
      '2:31: room.height: 2.5 needs its unit, such as "2.5 m" (units it takes: m, cm, mm, ft, in)',
    ],
    [
      top('room', '{ airChanges: 2, floor: 24 m2, height: 2.5 m }'),
      '2:21: room.airChanges: 2 needs its unit, such as "2 /h" (units it takes: /h, /min, /s)',
    ],
    [
      top('cabinet', '{ volume: 1.2 }'),
      '2:20: cabinet.volume: 1.2 needs its unit, such as "1.2 m3" (units it takes: m3, ft3, l)',
    ],
    [
      top('cabinet', '{ leakage: 30 }'),
      '2:21: cabinet.leakage: 30 needs its unit, such as "30 m3/h" (units it takes: m3/h, m3/s, m3/min, l/s, cfm)',
    ],
    [
      top('fan', '{ airflow: 900 }'),
      '2:17: fan.airflow: 900 needs its unit, such as "900 m3/h" (units it takes: m3/h, m3/s, m3/min, l/s, cfm)',
    ],
    [
      top('policy', '{ setpoint: 20 }'),
      '2:21: policy.setpoint: 20 needs its unit, such as "20 %LFL" (units it takes: %LFL, ppm, %vol, kg/m3, g/m3, lb/1000ft3)',
    ],
    [
      top('refrigerant', '{ name: X, lfl: 0.3 kg/m3, molarMass: 52, source: me }'),
      '2:52: refrigerant.molarMass: 52 needs its unit, such as "52 g/mol" (units it takes: g/mol, kg/kmol)',
    ],
  ];

  test.each(refusals)('%s', (text, refusal) => {
    expect(load(text).problems).toEqual([refusal]);
  });

  test.each([
    ['fan: { spinUp: 4 }', '7:16: fan.spinUp', 4],
    ['fieldIo: { watchdog: 5 }', '7:22: fieldIo.watchdog', 5],
    ['policy: { hold: 300 }', '7:17: policy.hold', 300],
    ['policy: { silentAfter: 5 }', '7:24: policy.silentAfter', 5],
    ['policy: { askWithin: 10 }', '7:22: policy.askWithin', 10],
    ['policy: { respondWithin: 15 }', '7:26: policy.respondWithin', 15],
    ['policy: { fanProofWithin: 10 }', '7:27: policy.fanProofWithin', 10],
    ['policy: { compressorMinOff: 180 }', '7:29: policy.compressorMinOff', 180],
    ['policy: { resumeWithin: 300 }', '7:25: policy.resumeWithin', 300],
    ['policy: { latchAfter: { trips: 3, within: 24 } }', '7:43: policy.latchAfter.within', 24],
    ['lines: [{ id: main, pollEvery: 1 }]', '7:32: lines[0].pollEvery', 1],
    ['lines: [{ id: main, timeout: 300 }]', '7:30: lines[0].timeout', 300],
    ['lines: [{ id: main, pace: { timeout: 200 } }]', '7:38: lines[0].pace.timeout', 200],
  ])('%s', (setting, place, value) => {
    expect(load(`${SMALLEST}${setting}\n`).problems).toEqual([
      `${place}: ${value} needs its unit, such as "${value} s" (units it takes: ${TIMES})`,
    ]);
  });

  test.each(['responseT90', 'selfTest'])('a sensor with %s: 10', (key) => {
    expect(load(sensorWith(`unitId: 11, ${key}: 10`)).problems).toEqual([
      expect.stringContaining(`sensors[0].${key}: 10 needs its unit, such as "10 s"`),
    ]);
  });
});
