/** What is said of a whole drill beside its results. */
import { describe, expect, test } from 'vitest';
import { judgement } from '../../../sim/judge/index.ts';
import { POLICY, type Sketch, type Times, trace } from './trace-builder.ts';

const remarks = (sketch: Sketch, lengthS = 600): readonly string[] =>
  judgement(trace(lengthS, sketch), POLICY, []).remarks;
const WHY = 'since no complete write had come for 5 s: what was held then the controller did not do.';

describe('the watchdog', () => {
  test('is told once, from when to when', () => {
    expect(remarks({ watchdogHolds: [[5, 600]] })).toEqual([
      `The field I/O’s watchdog held the outputs from 0:00:05 to 0:10:00, ${WHY}`,
    ]);
  });

  test('is told with how often and how long', () => {
    const watchdogHolds: Times = [
      [5, 7],
      [20, 30],
      [300, 300.5],
    ];
    expect(remarks({ watchdogHolds })).toEqual([
      `The field I/O’s watchdog held the outputs 3 times between 0:00:05 and 0:05:00.5 (12.5 s in all), ${WHY}`,
    ]);
  });

  test('is not told where a request to the field I/O was lost', () => {
    expect(remarks({ watchdogHolds: [[5, 9]], commandsLost: [[5, 9]] })).toEqual([]);
  });

  test('is not told while the controller could not write, nor before it has had its time to', () => {
    const watchdogHolds: Times = [[105, 112]];
    const cut: Times = [
      [0, 100],
      [110, 600],
    ];
    expect(remarks({ watchdogHolds, controllerPower: cut })).toEqual([]);
    expect(remarks({ watchdogHolds, fieldIoAnswers: cut })).toEqual([]);
    expect(remarks({ watchdogHolds: [[105, 116]], controllerPower: cut })).toEqual([
      `The field I/O’s watchdog held the outputs from 0:01:55 to 0:01:56, ${WHY}`,
    ]);
  });
});

describe('a call', () => {
  const called = { 'call.cooling': [[60, 240]], 'call.heating': [[300, 330]] } as const;

  test('that is never served in the whole drill is told', () => {
    expect(remarks({ inputs: called, outputs: { heat: [] } })).toEqual([
      'The call for cooling stood for 3 min and was never served.',
      'The call for heating stood for 30 s and was never served.',
    ]);
  });

  test('that is served for a moment is not, nor one that nothing could serve', () => {
    expect(remarks({ inputs: called, outputs: { 'compressor.a': [[239, 250]] } })).toEqual([]);
    const fire = { ...called, fire: [[0, 600]] } as const;
    expect(remarks({ inputs: fire, outputs: { heat: [] } })).toEqual([]);
  });
});
