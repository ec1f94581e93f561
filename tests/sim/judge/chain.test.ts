import { describe, expect, test } from 'vitest';
import type { Signal } from '../../../sim/judge/index.ts';
import { mitigating, outcome, sensor, type Times, trace, verdict } from './trace-builder.ts';

const gas: Signal<number> = [
  { atMs: 0, value: 0 },
  { atMs: 8_000, value: 24.9 },
  { atMs: 10_000, value: 25 },
  { atMs: 30_000, value: 60 },
  { atMs: 90_000, value: 24 },
];
const withGas = (sound: Times, reachedS: number): ReturnType<typeof trace> =>
  trace(200, {
    sensors: [sensor('coil-a', 200, () => ({}), { gas, sound })],
    outputs: mitigating([[reachedS, 200]]),
  });
const SOUND: Times = [[0, 200]];

describe('chain', () => {
  test('holds 45 s from true gas at 25 %LFL to mitigation, and not a millisecond more', () => {
    expect(outcome('chain', withGas(SOUND, 55))).toEqual(['held', 0]);
    expect(verdict('chain', withGas(SOUND, 55.001))).toMatchObject({
      result: 'broken',
      marginS: -0.001,
      atMs: 10_000,
      sensor: 'coil-a',
      because: [
        'True gas at coil-a had reached 25 %LFL by 0:00:10; counted from 0:00:10.',
        'Mitigation was reached at 0:00:55.001 (fan commanded on, dampers commanded open), after 45.001 s.',
        'The limit is 45 s (30 s for the detector and respondWithin of the rig): missed by 1 ms.',
      ],
    });
  });

  test('asks nothing where the sensor has a fault meanwhile, or had one when the gas came', () => {
    expect(outcome('chain', withGas([[0, 54]], 100))).toEqual(['not exercised', null]);
    expect(outcome('chain', withGas([[11, 200]], 100))).toEqual(['not exercised', null]);
  });

  test('is not exercised by gas that does not reach 25 %LFL, or does not stay', () => {
    const short: Signal<number> = [
      { atMs: 0, value: 24.9 },
      { atMs: 10_000, value: 30 },
      { atMs: 54_999, value: 0 },
    ];
    const sensors = [sensor('coil-a', 200, () => ({}), { gas: short })];
    expect(outcome('chain', trace(200, { sensors }))).toEqual(['not exercised', null]);
  });

  test('counts at a contact too', () => {
    const sensors = [sensor('grille', 200, () => ({}), { gas, kind: 'contact' })];
    expect(verdict('chain', trace(200, { sensors }))).toMatchObject({ result: 'broken', sensor: 'grille' });
  });
});
