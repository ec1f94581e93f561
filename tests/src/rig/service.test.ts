/** What a rig says for the service record of its sensors, and what it is told of that. */
import { describe, expect, test } from 'vitest';
import { CHECK_INTERVALS, SERVICE_LIFE, UNTOLD } from '../../../src/rig/index.ts';
import { load, rigOf, SMALLEST, sensorWith } from './rig-text.ts';

const DAY_MS = 86_400_000;

describe('service', () => {
  test('is what is published, the shortest of it, where a rig says nothing', () => {
    expect(rigOf(SMALLEST).sensors[0]?.service).toEqual(UNTOLD.service);
  });

  test('holds for all sensors, and each may say its own; a contact too', () => {
    const rig =
      rigOf(`${sensorWith('unitId: 11, part: "A-7", serviceLife: 10 years, checked: 2026-02-03')}  - id: grille
    at: room-low
    kind: contact
    input: 8
    serial: "C-1"
    installed: 2025-03-01
    checkEvery: 90 days
service: { life: 12 years, checkEvery: 180 days }
`);
    expect(rig.sensors).toMatchObject([
      {
        installed: null,
        service: { part: 'A-7', lifeMs: 3652.5 * DAY_MS, checkEveryMs: 180 * DAY_MS, checked: '2026-02-03' },
      },
      {
        serial: 'C-1',
        installed: '2025-03-01',
        service: { part: null, lifeMs: 4383 * DAY_MS, checkEveryMs: 90 * DAY_MS, checked: null },
      },
    ]);
  });

  test('is by default the shortest published interval of checks, and the life of common practice', () => {
    const [sensor] = rigOf(SMALLEST).sensors;
    expect(sensor?.service.checkEveryMs).toBe(CHECK_INTERVALS[1].ms);
    expect(sensor?.service.checkEveryMs).toBe(365.25 * DAY_MS);
    expect(sensor?.service.lifeMs).toBe(SERVICE_LIFE.ms);
    expect(SERVICE_LIFE.source).toBe('common practice, no source');
    for (const { source } of CHECK_INTERVALS) expect(source).toMatch(/\((?:seen|memory)\)$/u);
  });

  test('takes days, and no less than one', () => {
    expect(load(sensorWith('unitId: 11, checkEvery: 5 min')).problems).toEqual([
      '6:56: sensors[0].checkEvery: takes 24 h or more',
    ]);
    expect(load(sensorWith('unitId: 11, checked: last spring')).problems).toEqual([
      '6:53: sensors[0].checked: takes a day, such as 2025-03-01',
    ]);
  });

  test('may be longer between checks than is published, and is told so', () => {
    expect(load(sensorWith('unitId: 11, checkEvery: 2 years')).warnings).toEqual([]);
    expect(load(sensorWith('unitId: 11, checkEvery: 731 days')).warnings).toEqual([
      '6:56: sensors[0].checkEvery: coil-a is checked less often than every 2 years, as published: ' +
        'RD 552/2019 IF-16 3.3 (seen)',
    ]);
  });
});

test('two parts with one serial are told, wherever they are', () => {
  const text = `${sensorWith('unitId: 11, serial: "7"')}  - { id: b, at: cabinet, unitId: 12, serial: "7" }
  - { id: c, at: cabinet, unitId: 13 }
  - { id: d, at: cabinet, unitId: 14 }
`;
  expect(load(text).warnings).toEqual(['7:47: sensors[1].serial: b and coil-a have the same serial, 7']);
});
