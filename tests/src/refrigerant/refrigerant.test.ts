import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  idealVapourKgPerM3,
  MOLAR_VOLUME_L_PER_MOL,
  percentLflOf,
  percentVolOf,
  REFRIGERANTS,
  type Refrigerant,
  refrigerantNamed,
  toKgPerM3,
  toPercentLfl,
} from '../../../src/refrigerant/index.ts';
import { GAS_UNITS, kgPerM3, parseQuantity, percentLfl } from '../../../src/units/index.ts';

/** A fluid by LFL and molar mass, as a rig may give one. */
function fluid(lfl: number, molarMass: number): Refrigerant {
  return {
    name: 'X',
    lflKgPerM3: kgPerM3(lfl),
    molarMassGPerMol: molarMass,
    vapourKgPerM3: idealVapourKgPerM3(molarMass),
    source: 'test',
  };
}

function named(name: string): Refrigerant {
  const found = refrigerantNamed(name);
  if (found === undefined) throw new Error(name);
  return found;
}

/** Real Decreto 552/2019 (BOE-A-2019-15228) IF-02 table A: LFL kg/m3, molar mass g/mol; read in the text. */
const RD552: readonly (readonly [string, number, number])[] = [
  ['R-32', 0.307, 52.0],
  ['R-1234yf', 0.289, 114],
  ['R-1234ze(E)', 0.303, 114],
  ['R-452B', 0.31, 63.5],
  ['R-454A', 0.278, 80.5],
  ['R-454B', 0.301, 62.6],
  ['R-454C', 0.291, 90.8],
  ['R-455A', 0.423, 87.5],
];

/** CoolProp 8.0.0: molar mass g/mol, vapour density kg/m3 at 25 °C and 101.325 kPa. */
const COOLPROP: readonly (readonly [string, number, number])[] = [
  ['R-32', 52.024, 2.1531],
  ['R-1234yf', 114.042, 4.7664],
  ['R-1234ze(E)', 114.042, 4.7743],
  ['R-452B', 63.525, 2.6313],
  ['R-454A', 80.468, 3.3399],
  ['R-454B', 62.614, 2.5936],
  ['R-454C', 90.776, 3.7738],
  ['R-455A', 87.453, 3.632],
];

describe('the table of refrigerants', () => {
  test.each(RD552)('%s has LFL %d kg/m3 and %d g/mol of RD 552/2019 IF-02', (name, lfl, molarMass) => {
    expect(named(name)).toMatchObject({ name, lflKgPerM3: lfl, molarMassGPerMol: molarMass });
  });

  test.each(COOLPROP)('%s agrees with CoolProp: %d g/mol, vapour %d kg/m3', (name, molarMass, vapour) => {
    expect(named(name).vapourKgPerM3).toBe(vapour);
    expect(Math.abs(named(name).molarMassGPerMol / molarMass - 1)).toBeLessThan(1e-3);
  });

  test('holds no row that is not checked here, and names a source in each', () => {
    expect(REFRIGERANTS.map(({ name }) => name)).toEqual(RD552.map(([name]) => name));
    for (const { source } of REFRIGERANTS) expect(source).toMatch(/RD 552\/2019 IF-02 \(seen\).*CoolProp/u);
  });

  test.each(['R-32', 'r32', 'R 32', ' r-32'])('finds R-32 written as "%s"', (written) => {
    expect(refrigerantNamed(written)?.name).toBe('R-32');
  });

  test('finds no fluid by half a name, nor one that is not flammable', () => {
    for (const name of ['32', 'R-3', 'R-410A', '']) expect(refrigerantNamed(name), name).toBeUndefined();
  });

  test('has vapours a little denser than the ideal gas of their molar mass', () => {
    for (const { vapourKgPerM3, molarMassGPerMol } of REFRIGERANTS) {
      const ratio = vapourKgPerM3 / idealVapourKgPerM3(molarMassGPerMol);
      expect(ratio).toBeGreaterThan(1);
      expect(ratio).toBeLessThan(1.04);
    }
  });
});

describe('conversions at 25 °C and 101.325 kPa', () => {
  test('use the molar volume of an ideal gas, 24.465 l/mol (CODATA 2018 gas constant)', () => {
    expect(MOLAR_VOLUME_L_PER_MOL).toBeCloseTo(24.465, 3);
  });

  // CHK-1.1: LFL in % of volume as ANSI/ASHRAE 34 has it (from memory), molar mass of CoolProp → kg/m3
  // (computed). Within one unit of the last digit.
  test.each([
    ['R-32', 52.024, 14.4, 0.3062],
    ['R-1234yf', 114.042, 6.2, 0.289],
    ['R-1234ze(E)', 114.042, 6.5, 0.303],
    ['R-152a', 66.051, 4.8, 0.1296],
    ['R-290', 44.096, 2.1, 0.0378],
    ['R-717', 17.031, 16.7, 0.1162],
  ])('CHK-1.1 %s of %d g/mol: %d percent of volume is %d kg/m3', (_, molarMass, value, expected) => {
    const concentration = toKgPerM3({ value, unit: '%vol' }, fluid(1, molarMass));
    expect(Math.abs(concentration - expected)).toBeLessThan(1e-4);
  });

  // CHK-1.4: a setpoint at 25 %LFL: LFL of RD 552/2019 (0.297 is the lower value found for R-454B), molar mass
  // of CoolProp (computed).
  test.each([
    ['R-32', 0.307, 52.024, 0.07675, 36_093],
    ['R-454B', 0.301, 62.614, 0.07525, 29_403],
    ['R-454B', 0.297, 62.614, 0.07425, 29_012],
    ['R-1234yf', 0.289, 114.042, 0.07225, 15_500],
    ['R-290', 0.038, 44.096, 0.0095, 5271],
  ])(
    'CHK-1.4 %s, LFL %d kg/m3, %d g/mol: a quarter of it is %d kg/m3, %d ppm',
    (_, lfl, molarMass, mass, ppm) => {
      const gas = fluid(lfl, molarMass);
      expect(toKgPerM3({ value: 25, unit: '%LFL' }, gas)).toBeCloseTo(mass, 12);
      expect(Math.abs(percentVolOf(percentLfl(25), gas) * 1e4 - ppm)).toBeLessThan(1);
      expect(toPercentLfl({ value: ppm, unit: 'ppm' }, gas)).toBeCloseTo(25, 2);
    },
  );

  // CHK-1.5: kg/m3 → lb per 1000 ft3, ×62.428 (computed from the 1959 pound and foot).
  test.each([
    [0.307, 19.17],
    [0.301, 18.79],
    [0.297, 18.54],
    [0.3526, 22.01],
    [0.289, 18.04],
  ])('CHK-1.5 %d kg/m3 is %d lb in 1000 ft3', (metric, imperial) => {
    const [lb, ft3] = [Number(parseQuantity('1 lb', 'mass')), Number(parseQuantity('1000 ft3', 'volume'))];
    expect(ft3 / lb).toBeCloseTo(62.428, 3);
    expect((metric * ft3) / lb).toBeCloseTo(imperial, 2);
  });

  test.each(GAS_UNITS)('take %s to kg/m3 and to LFL percent as the definition of the unit has it', (unit) => {
    const gas = named('R-32');
    const perVolume = gas.molarMassGPerMol / MOLAR_VOLUME_L_PER_MOL;
    const perUnit = { '%LFL': gas.lflKgPerM3 / 100, ppm: perVolume / 1e6, '%vol': perVolume / 100 };
    const factor = { ...perUnit, 'kg/m3': 1, 'g/m3': 1e-3 }[unit];
    fc.assert(
      fc.property(fc.double({ min: 0, max: 100, noNaN: true }), (value) => {
        const concentration = toKgPerM3({ value, unit }, gas);
        expect(concentration).toBeCloseTo(value * factor, 10);
        expect(toPercentLfl({ value, unit }, gas)).toBeCloseTo((100 * concentration) / gas.lflKgPerM3, 8);
      }),
    );
  });

  test('keep 20 %LFL as written to the last bit', () => {
    expect(toPercentLfl({ value: 20, unit: '%LFL' }, named('R-454B'))).toBe(20);
  });

  test('have mass and volume agree: %LFL to %vol and back', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...REFRIGERANTS),
        fc.double({ min: 0, max: 500, noNaN: true }),
        (gas, level) => {
          const volume = percentVolOf(percentLfl(level), gas);
          fc.pre(volume < 100);
          expect(toPercentLfl({ value: volume, unit: '%vol' }, gas)).toBeCloseTo(level, 8);
        },
      ),
    );
  });

  test('never show more than the whole: pure vapour is 100 %vol', () => {
    const gas = named('R-32');
    const pure = percentLflOf(gas.vapourKgPerM3, gas);
    expect(Math.floor(pure)).toBe(701);
    expect(percentVolOf(pure, gas)).toBe(100);
  });
});
