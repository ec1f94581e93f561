/** What the trace makes of the world: the outside, and nothing that nobody could see. */
import { describe, expect, test } from 'vitest';
import { readOf } from '../../../sim/drill/read-of.ts';
import type { Trace } from '../../../sim/judge/trace.ts';
import { encodeRequest, type Request } from '../../../src/modbus/index.ts';
import type { Rig } from '../../../src/rig/index.ts';
import { compileCodec } from '../../../src/sensor/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { shippedProfile } from '../../src/sensor/reference.ts';
import { COOLING, FIELD_IO, INPUTS, requestsOf, Scene } from './scene.ts';

const RIG = demoRig();
const STATE: Request = { kind: 'read', functionCode: 4, address: 0, quantity: 2 };
const NUMBER: Request = { kind: 'read', functionCode: 4, address: 2, quantity: 1 };

function outputAt(trace: Trace, output: string, seconds: number): boolean | undefined {
  return trace.outputs.get(output)?.findLast(({ atMs }) => atMs <= seconds * 1000)?.value;
}

describe('requests', () => {
  test('are reads by function 17 too, which bring what they read and nothing of what they write', () => {
    const sensors = RIG.sensors.map((sensor) =>
      sensor.id === 'coil-b' && sensor.kind === 'modbus'
        ? { ...sensor, codec: compileCodec(shippedProfile('holding-floats')) }
        : sensor,
    );
    const both: Request = {
      kind: 'readWrite',
      functionCode: 23,
      address: 32,
      quantity: 38,
      writeAddress: 80,
      values: Uint16Array.of(12),
    };
    const trace = new Scene({ ...RIG, sensors }).at(40).ask(12, both).at(41).ask(12, both).trace();
    const requests = requestsOf(trace, 'coil-b');
    expect(requests.map(({ atMs }) => atMs)).toEqual([40_000, 41_000]);
    expect(requests[1]?.answer).toMatchObject({ state: 'measuring', gasPercentLfl: 0, serial: '240812' });
  });

  test('are not half a read/write, nor one that is refused', () => {
    const refused: Request = {
      kind: 'readWrite',
      functionCode: 23,
      address: 0,
      quantity: 19,
      writeAddress: 0,
      values: Uint16Array.of(0),
    };
    const trace = new Scene().at(40).ask(11, refused).trace();
    expect(requestsOf(trace, 'coil-a')).toEqual([{ atMs: 40_000, answer: null }]);
    expect(readOf(encodeRequest(refused).subarray(0, 7))).toBeNull();
  });

  test('keep what each brought; what was read before is still known', () => {
    const trace = new Scene().at(10).ask(11, NUMBER).ask(11, STATE).at(11).ask(11, NUMBER).trace();
    const [blind, state, number] = requestsOf(trace, 'coil-a');
    // A number alone says nothing: it may be that of a sensor that warms up.
    expect(blind).toEqual({ atMs: 10_000, answer: null, stateless: true });
    expect(state?.answer).toMatchObject({ atMs: 10_000, state: 'measuring', selfTestPassed: true });
    expect(number?.answer).toMatchObject({ atMs: 11_000, state: 'measuring', gasPercentLfl: 0 });
  });

  test('without an answer, or refused, bring nothing', () => {
    const scene = new Scene()
      .at(10)
      .step({ fault: { in: 'coil-a', kind: 'silent' } })
      .ask(11, STATE);
    const past: Request = { kind: 'read', functionCode: 4, address: 18, quantity: 5 };
    expect(requestsOf(scene.ask(12, past).trace(), 'coil-a')).toEqual([{ atMs: 10_000, answer: null }]);
    expect(requestsOf(scene.trace(), 'coil-b')).toEqual([{ atMs: 10_000, answer: null }]);
  });

  test('go to whoever is planned at an address, whoever answers there', () => {
    const swap = { fault: { in: 'coil-a', kind: 'swapped', with: 'coil-b' } };
    const whole: Request = { kind: 'read', functionCode: 4, address: 0, quantity: 19 };
    const trace = new Scene().at(10).step(swap).ask(11, whole).trace();
    expect(requestsOf(trace, 'coil-a')[0]?.answer?.serial).toBe('240812');
    expect(trace.sensors.map(({ sound }) => sound.at(-1)?.value)).toEqual([false, false, true]);
  });

  test('of the inputs are requests for the contacts among them', () => {
    const few: Request = { kind: 'read', functionCode: 2, address: 0, quantity: 6 };
    const open = { fault: { in: 'grille', kind: 'wire-open' } };
    const scene = new Scene()
      .at(10)
      .ask(FIELD_IO, few)
      .ask(FIELD_IO, INPUTS)
      .step(open)
      .ask(FIELD_IO, INPUTS);
    expect(requestsOf(scene.trace(), 'grille').map(({ answer }) => answer?.state)).toEqual([
      'measuring',
      'gas',
    ]);
  });
});

describe('requests to a sensor whose bits and number come in two reads', () => {
  const codec = compileCodec(shippedProfile('bits-and-counts'));
  const rig: Rig = {
    ...RIG,
    sensors: RIG.sensors.map((one) => (one.kind === 'modbus' ? { ...one, codec } : one)),
  };
  const BITS: Request = { kind: 'read', functionCode: 2, address: 8, quantity: 5 };
  const COUNTS: Request = { kind: 'read', functionCode: 4, address: 100, quantity: 4 };
  const answers = (scene: Scene) => requestsOf(scene.trace(), 'coil-a').map(({ answer }) => answer);

  test('say no state before the bits have come, and then the state they say together', () => {
    const [counts, bits, again] = answers(
      new Scene(rig).at(10).ask(11, COUNTS).ask(11, BITS).ask(11, COUNTS),
    );
    expect(counts).toBeNull();
    expect(bits).toMatchObject({ state: 'measuring', selfTestPassed: true, serial: undefined });
    expect(again).toMatchObject({ state: 'measuring', gasPercentLfl: 0, counter: undefined });
  });

  test('hold no old number against a new state', () => {
    const gas = { testGas: { at: 'coil-a', level: '40 %LFL', lasts: '60 s' } };
    const scene = new Scene(rig).at(10).step(gas).at(60).ask(11, BITS).ask(11, COUNTS);
    const [gasBits, gasCounts, bits, counts] = answers(scene.at(200).ask(11, BITS).ask(11, COUNTS));
    expect(gasBits?.state).toBe('gas');
    expect(gasCounts?.gasPercentLfl).toBeGreaterThan(35);
    expect(bits).toMatchObject({ state: 'measuring', gasBit: false, gasPercentLfl: undefined });
    expect(counts).toMatchObject({ state: 'measuring', gasPercentLfl: 0 });
  });

  test('are requests for it whichever table they ask; of a table without a point they are none', () => {
    const coils: Request = { kind: 'read', functionCode: 1, address: 0, quantity: 1 };
    const scene = new Scene(rig).at(10).ask(11, coils).ask(11, BITS);
    expect(requestsOf(scene.trace(), 'coil-a')).toHaveLength(1);
    expect(requestsOf(new Scene().at(10).ask(11, BITS).trace(), 'coil-a')).toHaveLength(0);
  });
});

describe('commands in force', () => {
  test('are those written, until the watchdog holds the outputs', () => {
    const trace = new Scene()
      .at(10)
      .write(...COOLING)
      .at(30)
      .write(...COOLING)
      .trace();
    expect(outputAt(trace, 'compressor.a', 12)).toBe(true);
    expect(['fan', 'damper', 'heat', 'compressor.a'].map((output) => outputAt(trace, output, 16))).toEqual([
      true,
      true,
      false,
      false,
    ]);
    expect(outputAt(trace, 'compressor.a', 30)).toBe(true);
    const held = [
      [0, false],
      [5, true],
      [10, false],
      [15, true],
      [30, false],
    ] as const;
    expect(trace.watchdogHolds).toEqual(held.map(([atS, value]) => ({ atMs: atS * 1000, value })));
  });

  test('are forgotten with the supply of the rig, and off until they are written again', () => {
    const cut = { power: { to: 'rig', cut: '2 s' } };
    const scene = new Scene()
      .at(10)
      .write(...COOLING)
      .at(12)
      .step(cut)
      .at(15)
      .write(0, 0, 0, 0, 0, 0, 0);
    const trace = scene.trace();
    expect(outputAt(trace, 'compressor.a', 11)).toBe(true);
    expect(outputAt(trace, 'compressor.a', 13)).toBe(false);
    expect(outputAt(trace, 'compressor.a', 15)).toBe(false);
    expect(trace.watchdogHolds.map(({ atMs }) => atMs)).toEqual([0, 5000, 10_000]);
    expect(trace.controllerPower).toEqual([
      { atMs: 0, value: true },
      { atMs: 12_000, value: false },
      { atMs: 14_000, value: true },
    ]);
  });
});

test('the power of each sensor is told', () => {
  const trace = new Scene()
    .at(10)
    .step({ power: { to: 'coil-b', cut: '3 s' } })
    .at(20)
    .trace();
  const coilB = trace.sensors.find(({ id }) => id === 'coil-b');
  const off = [
    { atMs: 0, value: true },
    { atMs: 10_000, value: false },
    { atMs: 13_000, value: true },
  ];
  expect(coilB?.powered).toEqual(off);
  expect(coilB?.sound).toEqual(off);
});
