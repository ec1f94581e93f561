/** Outside states of small traces: what the rig does, what is reported there, and what happens in it. */
import { describe, expect, test } from 'vitest';
import { isEvent, reachedIn } from '../../../sim/seek/outside.ts';
import { type Sketch, sensor, trace } from '../judge/trace-builder.ts';

const HOLD_MS = 300_000;
const S = 1000;

function reached(lengthS: number, sketch: Sketch): readonly (readonly [what: string, atS: number])[] {
  return reachedIn(trace(lengthS, sketch), HOLD_MS).map(({ what, atMs }) => [what, atMs / S]);
}

describe('an outside state', () => {
  test('tells what the rig does, for whom, and which lamps are lit', () => {
    const outputs = { fan: [[10, 90]], 'compressor.a': [[20, 60]], trouble: [[60, 90]] } as const;
    const inputs = { 'call.cooling': [[10, 90]] } as const;
    expect(reached(100, { outputs, inputs }).filter(([what]) => !isEvent(what))).toEqual([
      ['still', 0],
      ['airing, called', 10],
      ['serving, called', 20],
      ['airing, called, trouble', 60],
    ]);
  });

  test('is another one past a hold', () => {
    expect(reached(301, {})).toEqual([
      ['still', 0],
      ['still, past a hold', 300],
    ]);
    expect(reached(300, {})).toEqual([['still', 0]]);
  });

  test('counts the alarms that were, up to three', () => {
    const alarm = [0, 1, 2, 3].map((time) => [10 + 20 * time, 20 + 20 * time] as const);
    const names = reached(100, { outputs: { alarm } }).map(([what]) => what);
    expect(names.filter((what) => !what.includes('while'))).toEqual([
      'still',
      'still, alarm, 1 alarms',
      'still, 1 alarms',
      'still, alarm, 2 alarms',
      'still, 2 alarms',
      'still, alarm, 3 or more alarms',
      'still, 3 or more alarms',
    ]);
  });

  test('tells gas as a sensor reports it, and the dark', () => {
    const smells = sensor('coil-a', 60, (atS) => (atS < 10 ? null : { gasBit: atS >= 20 && atS < 40 }));
    const sketch = { sensors: [smells], controllerPower: [[0, 50]], rigPower: [[0, 55]] } as const;
    expect(reached(60, sketch)).toEqual([
      ['still', 0],
      ['gas on while still', 20],
      ['still, gas reported', 20],
      ['gas off while still, gas reported', 40],
      ['controller power off while still', 50],
      ['still, controller dark', 50],
      ['rig power off while still, controller dark', 55],
      ['rig dark', 55],
    ]);
  });

  test('is not half of a decision', () => {
    const together = { fan: [[10, 50]], damper: [[10, 50]], alarm: [[10, 50]] } as const;
    expect(reached(60, { outputs: together }).map(([what]) => what)).toEqual([
      'still',
      'airing, alarm, 1 alarms',
      'still, 1 alarms',
    ]);
  });
});

describe('an event', () => {
  test('counts in the state that it meets, once, and not before the start', () => {
    const serviceReset = [
      [400, 403],
      [500, 503],
    ] as const;
    const inputs = { 'call.fan': [[0, 600]], serviceReset } as const;
    expect(reached(600, { inputs }).filter(([what]) => isEvent(what))).toEqual([
      ['serviceReset on while still, called, past a hold', 400],
      ['serviceReset off while still, called, past a hold', 403],
      ['call.fan off while still, called, past a hold', 600],
    ]);
  });

  test('is also a fault of a sensor, and of the field I/O', () => {
    const hurt = sensor('coil-a', 0, () => null, { sound: [[0, 30]] });
    const what = reached(60, { sensors: [hurt], fieldIoAnswers: [[0, 40]] }).map(([name]) => name);
    expect(what).toEqual(['still', 'sound sensor off while still', 'field I/O off while still']);
  });
});
