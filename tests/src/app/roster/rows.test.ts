/** What a service record says of each sensor: what is due, and what is on record. Unknown is never good news. */
import { describe, expect, test } from 'vitest';
import { dayOf } from '../../../../src/app/roster/days.ts';
import { overdueIn } from '../../../../src/app/roster/overdue.ts';
import { rosterRows } from '../../../../src/app/roster/rows.ts';
import type { Fact } from '../../../../src/events/index.ts';
import { HAZARDS } from '../../../../src/mitigation/hazards.ts';
import { rigOf, sensorWith } from '../../rig/rig-text.ts';
import { cleared, RIG, raised, recorded, replaced, TODAY } from './rosters.ts';

const rows = (facts: readonly Fact[] = []) => rosterRows(RIG, recorded(facts), TODAY);
const rowOf = (sensor: string, facts: readonly Fact[] = []) => {
  const row = rows(facts).find((one) => one.sensor === sensor);
  if (row === undefined) throw new Error(sensor);
  return row;
};
const single = (keys: string, facts: readonly Fact[] = []) => {
  const [row] = rosterRows(rigOf(sensorWith(`unitId: 11, ${keys}`)), recorded(facts), TODAY);
  if (row === undefined) throw new Error(keys);
  return row;
};

describe('what is due', () => {
  test('counts a check from the last one, and without one from the installation', () => {
    expect(rows().map(({ sensor, check }) => [sensor, check.standing, check.day, check.daysLeft])).toEqual([
      ['old', 'overdue', '2026-11-20', -6],
      ['fresh', 'in time', '2027-10-01', 309],
      ['soon', 'due soon', '2026-12-10', 14],
      ['bare', 'unknown', null, null],
      // Its check was made of the part before.
      ['grille', 'overdue', '2026-03-01', -270],
    ]);
  });

  test('counts the service life as the sensor itself does', () => {
    expect(rows().map(({ life }) => [life.standing, life.daysLeft])).toEqual([
      ['overdue', -209],
      ['in time', 5422],
      ['in time', 4449],
      ['unknown', null],
      ['in time', 4843],
    ]);
    expect(single('age: 6 years').life).toMatchObject({ standing: 'in time', daysLeft: 3287 });
  });

  test.each([
    ['checked: 2025-11-27', 'due soon', 1],
    ['checked: 2025-11-26', 'due soon', 0],
    ['checked: 2025-11-25', 'overdue', -1],
    ['checked: 2025-12-26', 'due soon', 30],
    ['checked: 2025-12-27', 'in time', 31],
    ['checked: 2026-11-26, checkEvery: 1 days', 'due soon', 1],
    ['checked: 2026-11-27', 'unknown', null],
    ['installed: 2026-11-27', 'unknown', null],
  ])('is told to the day: %s', (keys, standing, daysLeft) => {
    expect(single(keys).check).toMatchObject({ standing, daysLeft });
  });

  test('is said in sentences', () => {
    expect(rowOf('old').check.text).toBe(
      'was due 2026-11-20, 6 days ago (every 365 days; last checked 2025-11-20)',
    );
    expect(rowOf('old').life.text).toBe('was over 2026-05-01, 209 days ago (15 years; installed 2011-05-02)');
    expect(single('checked: 2025-11-26').check.text).toContain('is due 2026-11-26, today');
    expect(single('checked: 2025-11-27').check.text).toContain('in 1 day ');
  });

  test('is told by check where it is over, and a check only where the file keeps their days', () => {
    expect(overdueIn(RIG, TODAY)).toEqual([
      [['sensors', 0, 'checked'], `the check of old ${rowOf('old').check.text}`],
      [['sensors', 0, 'installed'], `the service life of old ${rowOf('old').life.text}`],
      [['sensors', 4, 'checked'], `the check of grille ${rowOf('grille').check.text}`],
    ]);
    expect(overdueIn(rigOf(sensorWith('unitId: 11, installed: 2024-01-01')), TODAY)).toEqual([]);
  });
});

describe('the last self-test', () => {
  const ofOld = (...facts: readonly Fact[]) => rowOf('old', facts).selfTest;

  test('is what is on record last: passed, failed, or awaited', () => {
    const awaited = raised('old', 'notSelfTested');
    const passed = cleared('old', 'notSelfTested', 4000);
    expect(ofOld()).toBeNull();
    expect(ofOld(awaited)?.result).toBe('awaited');
    expect(ofOld(awaited, passed)).toEqual({
      result: 'passed',
      atMs: 4000,
      time: '2026-11-26T09:01:00.000Z',
    });
    expect(ofOld(awaited, passed, raised('old', 'selfFailed'))?.result).toBe('failed');
    expect(ofOld(awaited, passed, awaited)?.result).toBe('awaited');
    expect(ofOld(raised('fresh', 'notSelfTested'))).toBeNull();
  });

  test('is none at a contact, whatever was heard of it', () => {
    expect(rowOf('grille', [cleared('grille', 'notSelfTested')]).selfTest).toBeNull();
  });
});

describe('the last alarm', () => {
  const alarmAfter = (...facts: readonly Fact[]) => rowOf('old', facts).alarm;

  test('is of what shows as alarm at a sensor, and of nothing else', () => {
    const ofSensors = Object.entries(HAZARDS).filter(
      ([hazard, { shows }]) => shows === 'alarm' && hazard !== 'fire',
    );
    expect(ofSensors).toHaveLength(2);
    for (const [hazard] of Object.entries(HAZARDS)) {
      const isAlarm = ofSensors.some(([one]) => one === hazard);
      expect(alarmAfter(raised('old', hazard))?.text, hazard).toBe(isAlarm ? `old has ${hazard}` : undefined);
    }
  });

  test('is the newest by the clock on the wall, in whatever order it is read', () => {
    const [first, second] = recorded([raised('old', 'gas', 1), raised('old', 'gas', 2)]);
    if (first === undefined || second === undefined) throw new Error('two');
    const [row] = rosterRows(RIG, [second, first, recorded([cleared('old', 'gas')])[0] ?? first], TODAY);
    expect(row?.alarm?.atMs).toBe(2);
  });
});

describe('a replacement', () => {
  test('ends what is told of the part before', () => {
    const facts = [raised('old', 'gas'), cleared('old', 'notSelfTested'), replaced('old', '1')];
    expect(rowOf('old', facts)).toMatchObject({ alarm: null, selfTest: null, replaced: { by: 'Ada' } });
    expect(rowOf('old', [...facts, raised('old', 'gas')]).alarm).not.toBeNull();
    expect(rowOf('soon', [raised('soon', 'gas'), ...facts]).alarm).not.toBeNull();
  });

  test('is what age and checks count from', () => {
    const row = single('serial: "9"', [replaced('coil-a', '9', '2026-11-16')]);
    expect(row).toMatchObject({ installed: '2026-11-16', ageDays: 10, differences: [] });
    expect(row.check).toMatchObject({ standing: 'in time', daysLeft: 355 });
  });

  test('whose day differs from the rig file is told, and the earlier day counts', () => {
    const day = '2026-11-16';
    const row = single('serial: "9", installed: 2026-11-20', [replaced('coil-a', '9', day)]);
    expect(row).toMatchObject({ installed: day, ageDays: 10 });
    expect(row.differences).toEqual([
      'installed 2026-11-20 by the rig file, 2026-11-16 by the record: the earlier day counts',
    ]);
    expect(single('serial: "9", installed: 2026-11-10', [replaced('coil-a', '9', day)]).installed).toBe(
      '2026-11-10',
    );
  });

  test('that the rig file does not know is told, and changes no day', () => {
    const row = single('serial: "8", installed: 2026-01-01', [replaced('coil-a', '9')]);
    expect(row.installed).toBe('2026-01-01');
    expect(row.differences).toEqual([
      'on record serial 9 took its place on 2026-11-26; the rig file says 8: read the label',
    ]);
  });
});

test('a day of installation that is to come makes no age', () => {
  const row = single('installed: 2027-01-01');
  expect(row).toMatchObject({ ageDays: null, life: { standing: 'unknown' }, check: { standing: 'unknown' } });
  expect(row.differences).toEqual(['its installation is written for 2027-01-01, which is to come']);
});

test('a day is that of the wall here, not of Greenwich', () => {
  const before = process.env['TZ'];
  try {
    process.env['TZ'] = 'America/Denver';
    expect(dayOf(new Date('2026-11-27T03:00:00Z'))).toBe('2026-11-26');
    process.env['TZ'] = 'Asia/Tokyo';
    expect(dayOf(new Date('2026-11-26T20:00:00Z'))).toBe('2026-11-27');
  } finally {
    if (before === undefined) delete process.env['TZ'];
    else process.env['TZ'] = before;
  }
});
