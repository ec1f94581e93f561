import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  choosable,
  idealVapourKgPerM3,
  inUnit,
  MOLAR_VOLUME_L_PER_MOL,
  molarVolumeLPerMol,
  percentLflOf,
  percentVolOf,
  REFRIGERANTS,
  type Refrigerant,
  ROWS,
  recordOf,
  refrigerantFrom,
  refrigerantNamed,
  rowNamed,
  SOURCES,
  toKgPerM3,
  toPercentLfl,
} from '../../../src/refrigerant/index.ts';
import { row } from '../../../src/refrigerant/row.ts';
import { GAS_UNITS, percentLfl } from '../../../src/units/index.ts';

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

describe('a row of the table', () => {
  /** Twelve fluids of every class, as Real Decreto 552/2019 IF-02 table A classes them (seen). */
  test.each([
    ['R-32', 'A2L'],
    ['R-1234ze(E)', 'A2L'],
    ['R-152a', 'A2'],
    ['R-290', 'A3'],
    ['R-717', 'B2L'],
    ['R-410A', 'A1'],
  ])('%s is of class %s', (name, safetyClass) => {
    expect(rowNamed(name)?.safetyClass).toBe(safetyClass);
    expect(ROWS).toHaveLength(12);
  });

  test('has an LFL where and only where it burns, each from a source that says how sure it is', () => {
    for (const { name, safetyClass, lfls } of ROWS) {
      expect(lfls.length > 0, name).toBe(safetyClass !== 'A1');
      expect(new Set(lfls.map(({ id }) => id)).size).toBe(lfls.length);
    }
    for (const { title, sure } of Object.values(SOURCES)) {
      expect(title).not.toBe('');
      expect(['seen', 'seen second hand', 'memory', 'computed']).toContain(sure);
    }
  });

  test('makes a refrigerant of each LFL that a rig may follow, which leads back to its record', () => {
    for (const row of ROWS.filter(({ safetyClass }) => safetyClass === 'A2L')) {
      for (const record of choosable(row)) {
        const made = refrigerantFrom(row, record.id);
        if (made === undefined) throw new Error(record.id);
        expect(toKgPerM3(record.amount, made)).toBeCloseTo(made.lflKgPerM3, 12);
        expect(made.source).toContain(SOURCES[record.id].sure);
        expect(recordOf(made)).toEqual({ row, record });
      }
    }
  });

  test('gives no LFL that is of another vapour than its own, and none under an id that it has not', () => {
    const row = rowNamed('r454b');
    if (row === undefined) throw new Error('R-454B');
    expect(row.lfls.map(({ id }) => id)).toContain('ashrae34-wcff');
    expect(refrigerantFrom(row, 'ashrae34-wcff')).toBeUndefined();
    expect(refrigerantFrom(row, 'ashrae')).toBeUndefined();
    expect(refrigerantFrom(row, 'ashrae34-2019f')?.source).toMatch(/second hand.*worst fractionated/u);
  });

  test('is not found for a refrigerant that a rig brought itself, though it be of the same name', () => {
    expect(recordOf({ ...named('R-32'), source: 'me' })).toBeNull();
    expect(recordOf({ ...named('R-32'), name: 'mine' })).toBeNull();
  });

  test('without a molar mass or a vapour density makes no refrigerant', () => {
    const row = rowNamed('R-32');
    if (row === undefined) throw new Error('R-32');
    const bare = { ...row, facts: { ...row.facts, vapour: {} } };
    expect(() => refrigerantFrom(bare, 'rd552')).toThrow(RangeError);
  });
});

test('a slip of the pen in an LFL of the table is found as it is read', () => {
  expect(() => row('R-0', 'A2L', 'pure', { molarMass: {}, vapour: {}, lfl: { rd552: '0.3' } })).toThrow(
    /0\.3 needs its unit/u,
  );
});

describe('conversions at another temperature and pressure', () => {
  test('take a molar volume of 22.414 l/mol at 0 °C, 101.325 kPa (CODATA 2018)', () => {
    expect(molarVolumeLPerMol({ celsius: 0, kPa: 101.325 })).toBeCloseTo(22.414, 3);
    expect(() => molarVolumeLPerMol({ celsius: -273.15, kPa: 101.325 })).toThrow(RangeError);
    expect(() => molarVolumeLPerMol({ celsius: 25, kPa: 0 })).toThrow(RangeError);
  });

  test('keep a share of the volume a share of the volume: the LFL in kg/m3 goes with the density of air', () => {
    const gas = named('R-32');
    const warm = { celsius: 60, kPa: 101.325 };
    const lfl = toKgPerM3({ value: 100, unit: '%LFL' }, gas, warm);
    expect(lfl).toBeCloseTo((0.307 * 298.15) / 333.15, 12);
    expect(inUnit(lfl, '%vol', gas, warm)).toBeCloseTo(inUnit(0.307, '%vol', gas), 12);
  });

  test.each(GAS_UNITS)('go to %s and back, in any air', (unit) => {
    const air = fc.record({
      celsius: fc.double({ min: -40, max: 80, noNaN: true }),
      kPa: fc.double({ min: 60, max: 110, noNaN: true }),
    });
    fc.assert(
      fc.property(air, fc.double({ min: 1e-3, max: 100, noNaN: true }), (conditions, value) => {
        const gas = named('R-454B');
        const there = toKgPerM3({ value, unit }, gas, conditions);
        expect(inUnit(there, unit, gas, conditions) / value).toBeCloseTo(1, 12);
      }),
    );
  });
});

describe('conversions at 25 °C and 101.325 kPa', () => {
  test('use the molar volume of an ideal gas, 24.465 l/mol (CODATA 2018 gas constant)', () => {
    expect(MOLAR_VOLUME_L_PER_MOL).toBeCloseTo(24.465, 3);
  });

  test.each(GAS_UNITS)('take %s to kg/m3 and to LFL percent as the definition of the unit has it', (unit) => {
    const gas = named('R-32');
    const perVolume = gas.molarMassGPerMol / MOLAR_VOLUME_L_PER_MOL;
    const perUnit = { '%LFL': gas.lflKgPerM3 / 100, ppm: perVolume / 1e6, '%vol': perVolume / 100 };
    // 0.45359237 kg in the pound, 0.3048 m in the foot (1959).
    const perPound = 0.45359237 / (1000 * 0.3048 ** 3);
    const factor = { ...perUnit, 'kg/m3': 1, 'g/m3': 1e-3, 'lb/1000ft3': perPound }[unit];
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
