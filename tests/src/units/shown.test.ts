import { describe, expect, it } from 'vitest';
import { type Dimension, parseQuantity } from '../../../src/units/index.ts';
import { formatSize, type ShownSize, UNIT_SYSTEMS } from '../../../src/units/shown.ts';

/** As we hold it, in the unit that the library of quantities works in. */
const HELD: Readonly<Record<Exclude<ShownSize, 'gPerS' | 'kgPerM3'>, readonly [Dimension, number]>> = {
  kg: ['mass', 1],
  m: ['length', 1],
  m2: ['area', 1],
  m3: ['volume', 1],
  m3PerH: ['airflow', 1 / 3600],
};

describe('sizes in either system', () => {
  it('are the figures that NIST SP 811 (2008) appendix B.8 gives', () => {
    expect(formatSize(0.45359237, 'kg', 'inchPound')).toBe('1 lb');
    expect(formatSize(0.3048, 'm', 'inchPound')).toBe('1 ft');
    // 1 ft2 = 9.290 304 E-02 m2; 1 ft3 = 2.831 685 E-02 m3; 1 cfm = 4.719 474 E-04 m3/s.
    expect(formatSize(92.90304, 'm2', 'inchPound')).toBe('1000 ft2');
    expect(formatSize(2.831685, 'm3', 'inchPound')).toBe('100 ft3');
    expect(formatSize(4.719474e-4 * 3600 * 530, 'm3PerH', 'inchPound')).toBe('530 cfm');
    // 1 lb/min = 7.559 873 E-03 kg/s; 1 lb/ft3 = 1.601 846 E+01 kg/m3.
    expect(formatSize(7.559873, 'gPerS', 'inchPound')).toBe('1 lb/min');
    expect(formatSize(0.01601846, 'kgPerM3', 'inchPound')).toBe('1 lb/1000ft3');
  });

  it('stay as they are in SI, rounded to what can be read', () => {
    expect(formatSize(4.2, 'kg', 'si')).toBe('4.2 kg');
    expect(formatSize(899.6, 'm3PerH', 'si')).toBe('900 m3/h');
    expect(formatSize(-0.001, 'gPerS', 'si')).toBe('0 g/s');
  });

  for (const [size, [dimension, one]] of Object.entries(HELD)) {
    it(`reads back what it shows of ${size}, to the digit it was rounded to`, () => {
      for (const system of UNIT_SYSTEMS) {
        const shown = formatSize(1000, size as ShownSize, system);
        const read = parseQuantity(shown, dimension);
        expect(Number(read) / (1000 * one)).toBeCloseTo(1, 2);
      }
    });
  }
});
