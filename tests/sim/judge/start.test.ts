import { describe, expect, test } from 'vitest';
import {
  outcome,
  type Says,
  type Sketch,
  sensor,
  type Times,
  trace,
  verdict,
  WARMING,
} from './trace-builder.ts';

const LENGTH_S = 200;
const CALLED = { 'call.cooling': [[0, 200]] } as const;
const passesAt =
  (secondS: number): Says =>
  (atS) =>
    atS < secondS ? WARMING : {};
const ran = (times: Times, more: Sketch = {}): ReturnType<typeof trace> =>
  trace(LENGTH_S, {
    sensors: [sensor('coil-a', LENGTH_S, passesAt(10)), sensor('coil-b', LENGTH_S, passesAt(30))],
    outputs: { 'compressor.a': times },
    inputs: CALLED,
    ...more,
  });

describe('start', () => {
  test('holds a start with the last answer that says passed, and not one a millisecond earlier', () => {
    expect(outcome('start', ran([[30, 100]]))).toEqual(['held', 0]);
    expect(verdict('start', ran([[29.999, 100]]))).toMatchObject({
      result: 'broken',
      marginS: -0.001,
      atMs: 29_999,
      sensor: 'coil-b',
      because: [
        'The whole rig powered up at 0:00:00; coil-b had not answered that its self-test passed.',
        'A compressor or heat was commanded at 0:00:29.999, for 1 ms in all before that.',
      ],
    });
  });

  test('names the sensor that was waited for longest, one that never passes before all others', () => {
    const order = (...passesS: readonly number[]): Sketch => ({
      sensors: passesS.map((secondS, index) => sensor(`s${index}`, LENGTH_S, passesAt(secondS))),
    });
    expect(verdict('start', ran([], order(30, 20, 10)))).toMatchObject({ sensor: 's0', result: 'held' });
    expect(verdict('start', ran([], order(20, 999, 30)))).toMatchObject({ sensor: 's1', result: 'held' });
  });

  test('forbids heat as well, and from the first command on', () => {
    expect(outcome('start', ran([], { outputs: { heat: [[0, 0.001]] } }))).toEqual(['broken', -0.001]);
  });

  test('gives respondWithin after a power-up of the controller alone', () => {
    const cut: Sketch = {
      controllerPower: [
        [0, 50],
        [60, 200],
      ],
      sensors: [sensor('coil-a', LENGTH_S, (atS) => (atS > 60 && atS < 100 ? undefined : {}))],
    };
    // The answer of 0:01:00 says passed: asked again at once, nothing is waited for.
    expect(outcome('start', ran([[0, 200]], cut))).toEqual(['not exercised', null]);
    const unasked = {
      ...cut,
      sensors: [sensor('coil-a', LENGTH_S, (atS) => (atS >= 60 && atS < 100 ? undefined : {}))],
    };
    expect(outcome('start', ran([[0, 75]], unasked))).toEqual(['held', 0]);
    expect(verdict('start', ran([[0, 75.001]], unasked))).toMatchObject({
      result: 'broken',
      marginS: -0.001,
      because: expect.arrayContaining([
        'The controller powered up at 0:01:00; coil-a had not answered that its self-test passed.',
      ]) as unknown,
    });
    // A power-up of the rig that comes later makes none of this one.
    const rigPower: Times = [
      [0, 150],
      [160, 200],
    ];
    expect(outcome('start', ran([[0, 75]], { ...unasked, rigPower }))).toEqual(['held', 0]);
  });

  test('takes no pass of one life of the controller for the next', () => {
    const cut: Sketch = {
      controllerPower: [
        [0, 50],
        [60, 200],
      ],
      sensors: [
        sensor('coil-a', LENGTH_S, (atS) => (atS >= 60 && atS < 110 ? WARMING : {}), {
          powered: [
            [0, 55],
            [100, 200],
          ],
        }),
      ],
    };
    expect(outcome('start', ran([[80, 90]], cut))).toEqual(['broken', -10]);
  });

  test('gives nothing after a power-up of the rig with its controller', () => {
    const cut: Sketch = {
      rigPower: [
        [0, 50],
        [60, 200],
      ],
      sensors: [sensor('coil-a', LENGTH_S, (atS) => (atS >= 60 && atS < 70 ? WARMING : {}))],
    };
    expect(outcome('start', ran([[60, 60.001]], cut))).toEqual(['broken', -0.001]);
  });

  test('takes no pass from before the sensor’s own power-up', () => {
    const again: Sketch = {
      sensors: [
        sensor('coil-a', LENGTH_S, (atS) => (atS >= 15 && atS < 40 ? WARMING : {}), {
          powered: [
            [0, 12],
            [15, 200],
          ],
        }),
        sensor('coil-b', LENGTH_S, passesAt(30)),
      ],
    };
    expect(verdict('start', ran([[35, 100]], again))).toMatchObject({
      result: 'broken',
      marginS: -5,
      sensor: 'coil-a',
    });
  });

  test('is over once all have passed: a sensor that restarts later is not its matter', () => {
    const restarted: Sketch = {
      sensors: [
        sensor('coil-a', LENGTH_S, (atS) => (atS >= 100 && atS < 130 ? WARMING : {}), {
          powered: [
            [0, 100],
            [101, 200],
          ],
        }),
      ],
    };
    expect(outcome('start', ran([[50, 200]], restarted))).toEqual(['not exercised', null]);
  });

  test('is not exercised without a call, and broken all the same by running', () => {
    expect(outcome('start', ran([[40, 100]], { inputs: {} }))).toEqual(['not exercised', null]);
    expect(outcome('start', ran([[20, 100]], { inputs: {} }))).toEqual(['broken', -10]);
  });

  test('is not applicable without Modbus sensors', () => {
    const contacts = [sensor('grille', LENGTH_S, () => ({}), { kind: 'contact' })];
    expect(outcome('start', ran([], { sensors: contacts }))).toEqual(['not applicable', null]);
  });
});
