import { describe, expect, test } from 'vitest';
import { during, GAS, outcome, type Sketch, sensor, type Times, trace, verdict } from './trace-builder.ts';

const LENGTH_S = 1200;
const well = [sensor('coil-a', LENGTH_S, () => ({}))];
const judgedWith = (compressor: Times, more: Sketch = {}): ReturnType<typeof trace> =>
  trace(LENGTH_S, {
    sensors: well,
    outputs: { 'compressor.a': compressor },
    inputs: { 'call.cooling': [[100, LENGTH_S]], airflow: [[0, LENGTH_S]] },
    ...more,
  });

describe('resume', () => {
  test('holds service at hold + resumeWithin after the call, and not a millisecond later', () => {
    expect(outcome('resume', judgedWith([[700, 1200]]))).toEqual(['held', 0]);
    expect(verdict('resume', judgedWith([[700.001, 1200]]))).toMatchObject({
      result: 'broken',
      marginS: -0.001,
      because: [
        'From 0:01:40 on a call stood, every sensor was well and airflow was not missing.',
        'The call was served from 0:11:40.001 on, after 600.001 s.',
        'The limit is 10 min (hold and resumeWithin of the rig): missed by 1 ms.',
      ],
    });
  });

  test('is held by service that begins with the call, and says nothing of service that stood before', () => {
    expect(outcome('resume', judgedWith([[100, 1200]]))).toEqual(['held', 600]);
    expect(outcome('resume', judgedWith([[50, 1200]]))).toEqual(['not exercised', null]);
  });

  test('is broken where the call is never served', () => {
    expect(outcome('resume', judgedWith([]))).toEqual(['broken', -500]);
  });

  test('counts anew after a silence of exactly silentAfter, which is no reason yet', () => {
    const unheard = (toS: number): Sketch => ({
      sensors: [sensor('coil-a', LENGTH_S, during(400, toS, null))],
    });
    expect(outcome('resume', judgedWith([[1005, 1200]], unheard(405)))).toEqual(['held', 0]);
    expect(outcome('resume', judgedWith([[1005, 1200]], unheard(404)))).toEqual(['broken', -305]);
  });

  test('tells how long the watchdog held the outputs meanwhile', () => {
    const { because } = verdict('resume', judgedWith([], { watchdogHolds: [[50, 400]] }));
    expect(because.slice(1, 3)).toEqual([
      'The call was not served before 0:20:00, for 18 min 20 s.',
      'The field I/O’s watchdog held the outputs for 5 min of that time.',
    ]);
  });

  test('takes heat for a call for heating', () => {
    const heating = { inputs: { 'call.heating': [[0, LENGTH_S]], airflow: [[0, LENGTH_S]] } } as const;
    expect(outcome('resume', judgedWith([], { ...heating, outputs: { heat: [[50, LENGTH_S]] } }))).toEqual([
      'held',
      550,
    ]);
    expect(outcome('resume', judgedWith([], heating))).toEqual(['not exercised', null]);
  });

  test('counts anew from when every sensor is well again', () => {
    const sensors = [sensor('coil-a', LENGTH_S, during(200, 300, GAS))];
    expect(
      outcome(
        'resume',
        judgedWith(
          [
            [100, 201],
            [900, 1200],
          ],
          { sensors },
        ),
      ),
    ).toEqual(['held', 0]);
    expect(
      outcome(
        'resume',
        judgedWith(
          [
            [100, 201],
            [901, 1200],
          ],
          { sensors },
        ),
      ),
    ).toEqual(['broken', -1]);
  });

  test('is not exercised while a sensor is not well', () => {
    const sensors = [sensor('coil-a', LENGTH_S, () => ({ gasPercentLfl: 18 }))];
    expect(outcome('resume', judgedWith([], { sensors }))).toEqual(['not exercised', null]);
  });

  test('waits for airflow where it is missing', () => {
    const outputs = { fan: [[0, LENGTH_S]] } as const;
    const inputs = { 'call.cooling': [[100, LENGTH_S]], airflow: [[800, LENGTH_S]] } as const;
    expect(outcome('resume', judgedWith([], { outputs, inputs }))).toEqual(['not exercised', null]);
  });

  test('counts anew from a power-up of the controller', () => {
    const controllerPower: Times = [
      [0, 500],
      [510, LENGTH_S],
    ];
    expect(outcome('resume', judgedWith([[1110, 1200]], { controllerPower }))).toEqual(['held', 0]);
  });

  test('asks nothing of a locked rig', () => {
    const sensors = [sensor('coil-a', LENGTH_S, during(200, 300, GAS))];
    const latchAfter = { trips: 1, withinMs: 3_600_000 };
    const outputs = { fan: [[0, LENGTH_S]], damper: [[0, LENGTH_S]], 'compressor.a': [[120, 201]] } as const;
    const judged = judgedWith([], { sensors, outputs });
    expect(outcome('resume', judged, { latchAfter })).toEqual(['held', 580]);
    expect(outcome('resume', judged)).toEqual(['broken', -300]);
  });
});
