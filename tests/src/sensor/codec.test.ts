import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  compileCodec,
  POINT_KINDS,
  type PointName,
  type Profile,
  SENSOR_STATES,
  type SensorAnswer,
  type SensorCodec,
  type SensorValues,
  TABLES,
} from '../../../src/sensor/index.ts';
import { AT_REST, referenceCodec, referenceProfile } from './reference.ts';

/** The registers a sensor fills, read back as a client reads them: block by block. */
function throughRegisters(codec: SensorCodec, values: SensorValues, image: Uint16Array): SensorAnswer {
  const other = (): Uint16Array => new Uint16Array(image.length);
  const images = { input: image, holding: other(), discrete: other(), coil: other() };
  for (const table of TABLES) codec.encode(values, table, images[table]);
  const parts = codec.reads.map((block) =>
    codec.decode(block, images[block.table].subarray(block.address, block.address + block.quantity)),
  );
  return Object.assign({}, ...parts) as SensorAnswer;
}

/** The reference profile with some points written otherwise. */
function codecWith(points: { readonly [Name in PointName]?: Partial<Profile['points'][Name]> }): SensorCodec {
  const profile = referenceProfile();
  const changed = Object.entries(points).map(([name, change]) => {
    return [name, { ...profile.points[name as PointName], ...change }];
  });
  return compileCodec({
    ...profile,
    points: { ...profile.points, ...Object.fromEntries(changed) } as Profile['points'],
  });
}

const ascii = fc.string({
  unit: fc.integer({ min: 0x21, max: 0x7e }).map((code) => String.fromCharCode(code)),
  maxLength: 8,
});
const counts = (max: number, perUnit: number) => fc.integer({ min: 0, max }).map((count) => count / perUnit);

/** Everything a sensor can say, in whole counts of its registers. */
const anyValues: fc.Arbitrary<SensorValues> = fc.record({
  state: fc.constantFrom(...SENSOR_STATES),
  gasBit: fc.boolean(),
  selfTestPassed: fc.boolean(),
  failedBit: fc.boolean(),
  serviceDue: fc.boolean(),
  saturated: fc.boolean(),
  gasPercentLfl: fc.option(counts(65534, 10)),
  gasPercentVol: fc.option(counts(10_000, 100)),
  setpointPercentLfl: counts(65535, 10),
  faultCode: fc.integer({ min: 0, max: 65535 }),
  hours: fc.integer({ min: 0, max: 0xffffffff }),
  serviceDaysLeft: fc.integer({ min: 0, max: 65535 }),
  temperatureC: fc.integer({ min: -32768, max: 32767 }).map((count) => count / 10),
  counter: fc.integer({ min: 0, max: 65535 }),
  refrigerant: ascii,
  serial: ascii,
});

describe('points through registers and back', () => {
  test('come out as they went in, every one of them, whatever stood there before', () => {
    const codec = referenceCodec();
    fc.assert(
      fc.property(anyValues, fc.uint16Array({ minLength: 19, maxLength: 19 }), (values, before) => {
        expect(throughRegisters(codec, values, before)).toEqual(values);
      }),
    );
  });

  test.each(Object.keys(POINT_KINDS) as PointName[])('%s moves no other point', (name) => {
    const codec = referenceCodec();
    fc.assert(
      fc.property(anyValues, anyValues, (values, other) => {
        const image = new Uint16Array(19);
        codec.encode(values, 'input', image);
        const changed = throughRegisters(codec, { ...values, [name]: other[name] }, image);
        expect(changed).toEqual({ ...values, [name]: other[name] });
      }),
      { numRuns: 20 },
    );
  });

  test('come out rounded to the nearest count of their scale', () => {
    const answer = throughRegisters(
      referenceCodec(),
      { ...AT_REST, gasPercentLfl: 19.96, gasPercentVol: 2.886 },
      new Uint16Array(19),
    );
    expect(answer).toMatchObject({ gasPercentLfl: 20, gasPercentVol: 2.89 });
  });
});

describe('a number', () => {
  const answerOf = (values: Partial<SensorValues>, codec = referenceCodec()): SensorAnswer =>
    throughRegisters(codec, { ...AT_REST, ...values }, new Uint16Array(64));

  test('above its register stays at the top of it: it never wraps to a harmless one', () => {
    expect(answerOf({ gasPercentLfl: 7000 }).gasPercentLfl, '65535 is no valid reading').toBe(6553.4);
    expect(answerOf({ setpointPercentLfl: 1e9 }).setpointPercentLfl).toBe(6553.5);
    expect(answerOf({ hours: 1e12 }).hours).toBe(0xffffffff);
    expect(answerOf({ temperatureC: 1e6 }).temperatureC).toBe(3276.7);
  });

  test('below its register stays at the bottom of it', () => {
    expect(answerOf({ gasPercentLfl: -3 }).gasPercentLfl).toBe(0);
    expect(answerOf({ temperatureC: -1e6 }).temperatureC).toBe(-3276.8);
  });

  test('never looks like "no valid reading", wherever a profile puts that', () => {
    const atZero = codecWith({ gasPercentLfl: { invalid: 0 } });
    expect(answerOf({ gasPercentLfl: 0 }, atZero).gasPercentLfl).toBe(0.1);
    expect(answerOf({ gasPercentLfl: null }, atZero).gasPercentLfl).toBeNull();
    const negative = codecWith({ temperatureC: { invalid: 0x8000 } });
    expect(answerOf({ temperatureC: -3276.8 }, negative).temperatureC).toBe(-3276.7);
    const between = codecWith({ gasPercentLfl: { invalid: 500 } });
    expect(answerOf({ gasPercentLfl: 50 }, between).gasPercentLfl).toBe(49.9);
  });

  test('clearly below zero is no valid reading of gas, and a zero that has drifted is one', () => {
    const gas = codecWith({ gasPercentLfl: { address: 30, type: 'i16', scale: 0.1, invalid: 0x8000 } });
    for (const number of [-0.1, -9.9, -10])
      expect(answerOf({ gasPercentLfl: number }, gas)).toMatchObject({ gasPercentLfl: number });
    for (const number of [-10.1, -30, -3276.7])
      expect(answerOf({ gasPercentLfl: number }, gas).gasPercentLfl).toBeNull();
    const float = codecWith({ gasPercentLfl: { address: 30, type: 'f32', scale: 1 } });
    expect(answerOf({ gasPercentLfl: -999 }, float).gasPercentLfl).toBeNull();
    expect(answerOf({ temperatureC: -30 }).temperatureC).toBe(-30);
  });

  test('without a reading is 0 where the profile has no word for that', () => {
    const codec = codecWith({ gasPercentLfl: { invalid: undefined } });
    expect(answerOf({ gasPercentLfl: null }, codec).gasPercentLfl).toBe(0);
  });

  test('of two registers may come low word first, as some makers have it', () => {
    const image = new Uint16Array(19);
    const codec = codecWith({ hours: { wordOrder: 'low-first' } });
    codec.encode({ ...AT_REST, hours: 0x0001_0002 }, 'input', image);
    expect(Array.from(image.slice(6, 8))).toEqual([2, 1]);
    expect(answerOf({ hours: 0x89abcdef }, codec).hours).toBe(0x89abcdef);
  });

  test('of two registers may have a word for no reading as well', () => {
    const codec = codecWith({
      gasPercentLfl: { address: 30, type: 'u32', scale: 0.001, invalid: 0xffffffff },
    });
    expect(answerOf({ gasPercentLfl: null }, codec).gasPercentLfl).toBeNull();
    expect(answerOf({ gasPercentLfl: 20.123 }, codec).gasPercentLfl).toBe(20.123);
  });
});

describe('a flag', () => {
  test('may be said by a 0', () => {
    const codec = codecWith({ selfTestPassed: { inverted: true } });
    const image = new Uint16Array(19);
    codec.encode({ ...AT_REST, selfTestPassed: false, gasBit: true }, 'input', image);
    expect(image[1]).toBe(0b11);
    codec.encode({ ...AT_REST, selfTestPassed: true, gasBit: true }, 'input', image);
    expect(image[1]).toBe(0b01);
    expect(throughRegisters(codec, AT_REST, image).selfTestPassed).toBe(true);
    expect(throughRegisters(codec, { ...AT_REST, selfTestPassed: false }, image).selfTestPassed).toBe(false);
  });
});

describe('the state', () => {
  const { gasBit, selfTestPassed, failedBit } = referenceProfile().points as Required<Profile['points']>;
  const bitsOnly = compileCodec({ ...referenceProfile(), points: { gasBit, selfTestPassed, failedBit } });
  const bits = { failedBit: false, gasBit: false, selfTestPassed: true };

  test('is its word wherever there is one, and no bit stands in for a word that means nothing', () => {
    expect(referenceCodec().stateOf({ ...bits, state: 'failed' })).toBe('failed');
    expect(referenceCodec().stateOf(bits)).toBeUndefined();
    expect(referenceCodec().stateOf({ ...bits, state: undefined })).toBeUndefined();
  });

  test('is what the bits say together where there is none, gas before warming up', () => {
    expect(bitsOnly.stateOf(bits)).toBe('measuring');
    expect(bitsOnly.stateOf({ ...bits, selfTestPassed: false })).toBe('warming-up');
    expect(bitsOnly.stateOf({ ...bits, gasBit: true })).toBe('gas');
    expect(bitsOnly.stateOf({ ...bits, gasBit: true, selfTestPassed: false })).toBe('gas');
    expect(bitsOnly.stateOf({ failedBit: true, gasBit: true, selfTestPassed: true })).toBe('failed');
  });

  test.each(['failedBit', 'gasBit', 'selfTestPassed'] as const)('is unknown without %s', (bit) => {
    expect(bitsOnly.stateOf({ ...bits, [bit]: undefined })).toBeUndefined();
  });
});

describe('a text', () => {
  test('is cut to its registers, and what is not ASCII is a space', () => {
    const image = new Uint16Array(19);
    const codec = referenceCodec();
    const values = { ...AT_REST, serial: 'A1B2C3D4E5', refrigerant: 'R 32é' };
    expect(throughRegisters(codec, values, image)).toMatchObject({ serial: 'A1B2C3D4', refrigerant: 'R 32' });
  });
});

test('a state word that the profile does not have is no state at all', () => {
  const codec = referenceCodec();
  const [block] = codec.reads;
  if (block === undefined) throw new Error('the reference sensor has a block');
  for (const word of [0, 5, 65535]) {
    const words = new Uint16Array(19);
    words[0] = word;
    expect(codec.decode(block, words).state).toBeUndefined();
  }
});

describe('the fewest reads', () => {
  test('bring every point in blocks of at most 125 registers (MB-APP 6.3, 6.4)', () => {
    const codec = codecWith({
      hours: { address: 123 },
      serviceDaysLeft: { address: 125 },
      counter: { address: 1000 },
      serial: { address: 996, words: 4 },
      faultCode: { table: 'holding', address: 7 },
    });
    expect(codec.reads).toEqual([
      { table: 'input', address: 0, quantity: 125 },
      { table: 'input', address: 125, quantity: 1 },
      { table: 'input', address: 996, quantity: 5 },
      { table: 'holding', address: 7, quantity: 1 },
    ]);
    const values = { ...AT_REST, hours: 70_000, serviceDaysLeft: 9, counter: 5, serial: 'X', faultCode: 3 };
    expect(throughRegisters(codec, values, new Uint16Array(1001))).toEqual(values);
  });

  test('bring bits first, 2000 at most in one (MB-APP 6.1, 6.2)', () => {
    const codec = codecWith({
      gasBit: { table: 'discrete', address: 10, bit: undefined },
      failedBit: { table: 'discrete', address: 2009, bit: undefined },
      serviceDue: { table: 'discrete', address: 2010, bit: undefined },
      saturated: { table: 'coil', address: 7, bit: undefined },
    });
    expect(codec.reads).toEqual([
      { table: 'discrete', address: 10, quantity: 2000 },
      { table: 'discrete', address: 2010, quantity: 1 },
      { table: 'coil', address: 7, quantity: 1 },
      { table: 'input', address: 0, quantity: 19 },
    ]);
    const values = { ...AT_REST, gasBit: true, serviceDue: true, saturated: true };
    expect(throughRegisters(codec, values, new Uint16Array(2011))).toEqual(values);
  });

  test('leave out what no point names where a sensor refuses it: two points that touch stay together', () => {
    const points = { ...referenceProfile().points };
    delete points.counter;
    delete points.gasPercentVol;
    const codec = compileCodec({ ...referenceProfile(), gaps: 'skip', points });
    expect(codec.reads).toEqual([
      { table: 'input', address: 0, quantity: 3 },
      { table: 'input', address: 4, quantity: 6 },
      { table: 'input', address: 11, quantity: 8 },
    ]);
    const without = { ...AT_REST, counter: undefined, gasPercentVol: undefined };
    expect(throughRegisters(codec, AT_REST, new Uint16Array(19))).toEqual(without);
  });

  test('keep a text that ends at the last register of a read whole', () => {
    const codec = codecWith({ serial: { address: 122, words: 4 } });
    expect(codec.reads).toEqual([
      { table: 'input', address: 0, quantity: 15 },
      { table: 'input', address: 122, quantity: 4 },
    ]);
  });

  test('ask for nothing of a table that has no point', () => {
    const { state } = referenceProfile().points;
    const codec = compileCodec({ ...referenceProfile(), points: state === undefined ? {} : { state } });
    expect(codec.reads).toEqual([{ table: 'input', address: 0, quantity: 1 }]);
    expect(codec.decode({ table: 'input', address: 0, quantity: 1 }, [3])).toEqual({ state: 'gas' });
  });
});
