import { describe, expect, test } from 'vitest';
import { type CaseOptions, rigOfOptions } from '../../../../src/app/figures/rig-of-options.ts';
import { Stop } from '../../../../src/app/stop.ts';

const GOOD: CaseOptions = { refrigerant: 'R-32', charge: '2 kg', area: '20m2', height: '2.5 m' };

describe('a case by options', () => {
  test('makes the rig that a file would', () => {
    const { rig, airflowTold } = rigOfOptions({ ...GOOD, airflow: '900m3/h', outsideAir: '2/h' });
    expect(rig).toMatchObject({
      chargeKg: 2,
      room: { floorM2: 20, heightM: 2.5 },
      refrigerant: { name: 'R-32' },
    });
    expect(rig.fan.airflowM3PerS).toBeCloseTo(0.25, 12);
    expect(rig.room.airChangesPerS).toBeCloseTo(2 / 3600, 12);
    expect(airflowTold).toBe(true);
  });

  test('takes outside air as a flow too, and inch-pound units', () => {
    const { rig } = rigOfOptions({ ...GOOD, charge: '9.3 lb', outsideAir: '100 m3/h' });
    expect(rig.chargeKg).toBeCloseTo(4.218, 3);
    expect(rig.room.airChangesPerS * 50 * 3600).toBeCloseTo(100, 9);
  });

  test('has the stricter least airflow for its fan where none was told', () => {
    const { rig, airflowTold } = rigOfOptions(GOOD);
    expect(airflowTold).toBe(false);
    expect(rig.fan.airflowM3PerS * 3600).toBeCloseTo((60 * 2) / 0.307, 9);
    expect(rig.room.airChangesPerS).toBe(0);
  });

  test('follows another source where asked, and takes any class that burns', () => {
    const { rig } = rigOfOptions({ ...GOOD, refrigerant: 'r454b', lflFrom: 'iec60335' });
    expect(rig.refrigerant.lflKgPerM3).toBe(0.297);
    expect(rigOfOptions({ ...GOOD, refrigerant: 'R-290' }).rig.refrigerant.lflKgPerM3).toBe(0.038);
  });
});

describe('one clear line', () => {
  const refusals: readonly (readonly [Partial<CaseOptions>, RegExp])[] = [
    [
      { refrigerant: 'R-33' },
      /^--refrigerant: "R-33" is not in the table; write one of R-32, .*another fluid/u,
    ],
    [{ refrigerant: 'R-410A' }, /^--refrigerant: "R-410A" is of class A1, which does not burn; /u],
    [{ lflFrom: 'nist' }, /^--lfl-from: "nist" is not a published LFL of R-32 here; write one of rd552 \(/u],
    [{ charge: '2 m' }, /^--charge 2 m: "m" is not a unit it takes; write one of kg, g, lb, oz$/u],
    [{ charge: '2' }, /^--charge 2: 2 needs its unit/u],
    [{ area: '-20 m2' }, /^--area -20 m2: must be more than zero$/u],
    [{ height: '0 m' }, /^--height 0 m: must be more than zero$/u],
    [{ airflow: '3 kg' }, /^--airflow 3 kg: "kg" is not a unit it takes; write one of m3\/h/u],
    [{ outsideAir: '3 kg' }, /^--outside-air 3 kg: takes air changes, such as 2\/h, or a flow: /u],
    [{ outsideAir: '-3 m3/h' }, /^--outside-air -3 m3\/h: cannot be negative$/u],
  ];
  test.each(refusals)('%j', (wrong, says) => {
    const asked = (): unknown => rigOfOptions({ ...GOOD, ...wrong });
    expect(asked).toThrow(Stop);
    expect(asked).toThrow(says);
  });

  test('names all that is missing', () => {
    expect(() => rigOfOptions({ refrigerant: 'R-32', area: '2 m2' })).toThrow(/--charge, --height missing/u);
  });
});
