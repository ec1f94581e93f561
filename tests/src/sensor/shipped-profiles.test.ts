/** The two profiles of other habits that come with the bench: their words, written out once more by hand. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  compileCodec,
  type Lamp,
  type PointName,
  SENSOR_STATES,
  type SensorAnswer,
  type SensorCodec,
  type SensorState,
  type SensorValues,
  shippedProfiles,
  TABLES,
} from '../../../src/sensor/index.ts';
import { AT_REST, shippedProfile } from './reference.ts';

const shipped = (name: string): SensorCodec => compileCodec(shippedProfile(name));

/** Words that stand at addresses of one table, the others 0, read as a client reads them. */
function answerTo(codec: SensorCodec, words: Readonly<Record<string, readonly number[]>>): SensorAnswer {
  const parts = codec.reads.map((block) => {
    const image = new Uint16Array(block.quantity);
    for (const [place, values] of Object.entries(words)) {
      const [table, address] = place.split(' ');
      if (table === block.table) image.set(values, Number(address) - block.address);
    }
    return codec.decode(block, image);
  });
  return Object.assign({}, ...parts) as SensorAnswer;
}

describe('holding-floats', () => {
  const codec = shipped('holding-floats');

  test('is read in one request, and brings no bits', () => {
    expect(codec.reads).toEqual([{ table: 'holding', address: 32, quantity: 38 }]);
  });

  test('is understood from its words: low word first', () => {
    const answer = answerTo(codec, {
      'holding 32': [0x0000, 0x41a2, 0xd70a, 0x4033],
      'holding 36': [0x0000, 0x41a0, 0x0000, 0xc020, 0x4000, 0x461c],
      'holding 48': [48, 65535, 0xfffe],
      'holding 64': [0x3234, 0x3038, 0x3131, 0x2020, 0x2020, 0x2020],
    });
    expect(answer).toEqual({
      gasPercentLfl: 20.25,
      gasPercentVol: Math.fround(2.81),
      setpointPercentLfl: 20,
      temperatureC: -2.5,
      hours: 10_000,
      state: 'gas',
      counter: 65535,
      faultCode: -2,
      serial: '240811',
    });
    expect(codec.stateOf(answer)).toBe('gas');
  });

  test('says NaN while it warms up', () => {
    const answer = answerTo(codec, { 'holding 32': [0x0000, 0x7fc0], 'holding 48': [16] });
    expect(answer).toMatchObject({ state: 'warming-up', gasPercentLfl: null });
  });
});

describe('bits-and-counts', () => {
  const codec = shipped('bits-and-counts');
  const states: readonly (readonly [SensorState, readonly number[]])[] = [
    ['warming-up', [1, 0, 0]],
    ['measuring', [0, 0, 0]],
    ['gas', [0, 1, 0]],
    ['failed', [0, 0, 1]],
  ];

  test('is read in two requests, bits before counts', () => {
    expect(codec.reads).toEqual([
      { table: 'discrete', address: 8, quantity: 5 },
      { table: 'input', address: 100, quantity: 4 },
    ]);
  });

  test.each(states)('is %s by its bits alone', (state, bits) => {
    expect(codec.stateOf(answerTo(codec, { 'discrete 8': bits }))).toBe(state);
  });

  test('counts quarters of a %LFL, and has no serial and no counter', () => {
    const words = { 'discrete 8': [0, 1, 0, 0, 1], 'input 100': [81, 0xfffb, 0x0001, 0x0002] };
    expect(answerTo(codec, words)).toEqual({
      selfTestPassed: true,
      gasBit: true,
      failedBit: false,
      serviceDue: true,
      gasPercentLfl: 20.25,
      temperatureC: -5,
      hours: 65_538,
    });
    expect(answerTo(codec, { 'input 100': [65535] }).gasPercentLfl).toBeNull();
  });
});

/** What a sensor says, in whole counts of every shipped profile: halves and whole numbers. */
const anyValues: fc.Arbitrary<SensorValues> = fc
  .record({
    state: fc.constantFrom(...SENSOR_STATES),
    gas: fc.option(fc.integer({ min: 0, max: 700 })),
    hours: fc.integer({ min: 0, max: 2 ** 24 }),
    temperatureC: fc.integer({ min: -40, max: 85 }),
    serviceDue: fc.boolean(),
    counter: fc.integer({ min: 0, max: 65535 }),
  })
  .map(({ state, gas, ...others }) => ({
    ...AT_REST,
    ...others,
    state,
    gasBit: state === 'gas',
    selfTestPassed: state === 'measuring' || state === 'gas',
    failedBit: state === 'failed',
    gasPercentLfl: gas,
    gasPercentVol: gas === null ? null : gas / 2,
  }));

describe.each(shippedProfiles())('%s', (name) => {
  const codec = shipped(name);
  const { profile } = codec;

  test('brings every point that it has, and the state, as the sensor meant them', () => {
    fc.assert(
      fc.property(anyValues, (values) => {
        const answer = throughTables(codec, values);
        const points = Object.keys(profile.points) as PointName[];
        expect(answer).toEqual(Object.fromEntries(points.map((point) => [point, values[point]])));
        expect(codec.stateOf(answer)).toBe(values.state);
      }),
    );
  });

  test('has a lamp code in which no two meanings look or read alike', () => {
    const lamps = Object.values<Lamp>(profile.lamp);
    expect(new Set(lamps.map(({ colour, hz }) => `${colour} ${hz}`)).size).toBe(lamps.length);
    expect(new Set(lamps.map(({ word }) => word)).size).toBe(lamps.length);
  });

  test('is named as its file is', () => {
    expect(profile.name).toBe(name);
  });
});

function throughTables(codec: SensorCodec, values: SensorValues): SensorAnswer {
  const images = new Map(TABLES.map((table) => [table, new Uint16Array(128)]));
  for (const [table, image] of images) codec.encode(values, table, image);
  const parts = codec.reads.map((block) => {
    const image = images.get(block.table) ?? new Uint16Array(0);
    return codec.decode(block, image.subarray(block.address, block.address + block.quantity));
  });
  return Object.assign({}, ...parts) as SensorAnswer;
}
