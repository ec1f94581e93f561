import { describe, expect, test } from 'vitest';
import { outcome, sensor, trace, verdict } from './trace-builder.ts';

const askedAt = (...askedAtS: readonly number[]): ReturnType<typeof sensor> =>
  sensor('coil-a', 0, () => ({}), { askedAtS });

describe('ask', () => {
  test('holds a gap of exactly askWithin, and not one of a millisecond more', () => {
    expect(outcome('ask', trace(24, { sensors: [askedAt(2, 12, 20)] }))).toEqual(['held', 0]);
    expect(outcome('ask', trace(24, { sensors: [askedAt(2, 12.001, 20)] }))).toEqual(['broken', -0.001]);
  });

  test('counts the time before the first request and after the last', () => {
    expect(outcome('ask', trace(24, { sensors: [askedAt(11, 20)] }))).toEqual(['broken', -1]);
    expect(outcome('ask', trace(24, { sensors: [askedAt(1, 9)] }))).toEqual(['broken', -5]);
  });

  test('names the sensor that waited longest, and when', () => {
    const sensors = [sensor('coil-b', 60, () => ({})), askedAt(0, 8, 40, 50, 59)];
    expect(verdict('ask', trace(60, { sensors }))).toMatchObject({
      result: 'broken',
      sensor: 'coil-a',
      atMs: 8_000,
      because: [
        'The longest time without a request for coil-a was 32 s, from 0:00:08 to 0:00:40.',
        'The limit is 10 s (askWithin of the rig): missed by 22 s.',
      ],
    });
  });

  test('counts anew from a power-up, and not while there is no power', () => {
    const controllerPower = [
      [0, 10],
      [100, 110],
    ] as const;
    const judged = trace(110, { sensors: [askedAt(1, 9, 108)], controllerPower });
    expect(outcome('ask', judged)).toEqual(['held', 2]);
  });

  test('is not exercised without a moment of power, nor without sensors', () => {
    expect(outcome('ask', trace(60, { sensors: [askedAt(1)], rigPower: [] }))).toEqual([
      'not exercised',
      null,
    ]);
    expect(outcome('ask', trace(60, {}))).toEqual(['not exercised', null]);
  });

  test('is not applicable where the bench asks', () => {
    const judged = trace(60, { sensors: [askedAt()], asksItself: true });
    expect(outcome('ask', judged)).toEqual(['not applicable', null]);
  });
});
