import { describe, expect, test } from 'vitest';
import { REFRIGERANTS } from '../../../src/refrigerant/index.ts';
import { rigOf, SMALLEST } from './rig-text.ts';

const refrigerantOf = (written: string): unknown => rigOf(SMALLEST.replace('R-32', written)).refrigerant;

describe('a rig', () => {
  test.each(REFRIGERANTS.map(({ name }) => name))(
    'follows RD 552/2019 for %s unless it says more',
    (name) => {
      expect(refrigerantOf(name)).toEqual(refrigerantOf(`{ name: ${name}, lflFrom: rd552 }`));
      expect(refrigerantOf(name)).toMatchObject({
        source: expect.stringContaining('RD 552/2019 IF-02 (seen)') as string,
      });
    },
  );

  test('may follow another published LFL, and names it', () => {
    expect(refrigerantOf('{ name: R-454B, lflFrom: iec60335 }')).toMatchObject({
      name: 'R-454B',
      lflKgPerM3: 0.297,
      vapourKgPerM3: 2.5936,
      source: expect.stringContaining('LFL: IEC/UL 60335-2-40 (memory)') as string,
    });
  });

  test('may say what its own blend is made of', () => {
    const written =
      '{ name: X, lfl: 18.8 lb/1000 ft3, molarMass: 62.6 g/mol, source: me, composition: { R-32: 69 %mass, R-1234yf: 31%mass } }';
    expect(refrigerantOf(written)).toMatchObject({
      name: 'X',
      parts: [
        { name: 'R-32', massPercent: 69 },
        { name: 'R-1234yf', massPercent: 31 },
      ],
    });
    expect((refrigerantOf(written) as { lflKgPerM3: number }).lflKgPerM3).toBeCloseTo(0.30115, 5);
  });
});
