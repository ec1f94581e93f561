import { describe, expect, test } from 'vitest';
import { ageDays, serviceDaysLeft, serviceDaysOf } from '../../../src/app/service-life.ts';
import { ms } from '../../../src/units/index.ts';
import { plan } from '../../sim/device/devices.ts';

const DAY_MS = 86_400_000;
const TODAY = Date.parse('2026-03-01T12:00:00Z');
const SERVICE_DAYS_NEW = serviceDaysOf(plan());
const installed = { ...plan(), installed: '2025-03-01' };
const told = { ...plan(), ageMs: ms(100.5 * DAY_MS) };

describe('the age of a sensor', () => {
  test('is that of its day of installation, in whole days', () => {
    expect([ageDays(installed, TODAY), serviceDaysLeft(installed, TODAY)]).toEqual([
      365,
      SERVICE_DAYS_NEW - 365,
    ]);
  });

  test('is none in a drill, whose run must not come out otherwise tomorrow', () => {
    expect([ageDays(installed, null), serviceDaysLeft(installed, null)]).toEqual([0, SERVICE_DAYS_NEW]);
  });

  test('is what the rig says outright, in a drill too', () => {
    for (const today of [TODAY, null]) {
      expect([ageDays(told, today), serviceDaysLeft(told, today)]).toEqual([100.5, SERVICE_DAYS_NEW - 100]);
    }
  });

  test('is none where nothing is told of it', () => {
    expect([ageDays(plan(), TODAY), serviceDaysLeft(plan(), TODAY)]).toEqual([0, SERVICE_DAYS_NEW]);
  });

  test('is held against the life that the rig gives it', () => {
    const short = { ...installed, service: { ...installed.service, lifeMs: ms(400 * DAY_MS) } };
    expect(serviceDaysLeft(short, TODAY)).toBe(35);
  });

  test('leaves no life past its end', () => {
    expect(serviceDaysLeft({ ...plan(), ageMs: ms(40 * 365.25 * DAY_MS) }, null)).toBe(0);
  });
});
