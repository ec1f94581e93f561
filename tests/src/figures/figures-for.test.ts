import { describe, expect, test } from 'vitest';
import { figuresFor, outsideOf, wordsText } from '../../../src/figures/index.ts';
import { idealVapourKgPerM3, type Refrigerant, ROWS, STANDARD_AIR } from '../../../src/refrigerant/index.ts';
import { kgPerM3 } from '../../../src/units/index.ts';
import { ARCHIVE, figure, fluid, ids } from './cases.ts';

const said = (the: typeof ARCHIVE, id: string): string => wordsText(figure(the, id).words, 'si');
const own: Refrigerant = {
  name: 'mine',
  lflKgPerM3: kgPerM3(0.3),
  molarMassGPerMol: 62.6,
  vapourKgPerM3: idealVapourKgPerM3(62.6),
  source: 'a data sheet',
};

describe('figures', () => {
  test('each have an id of their own, a standard, a formula, and say how the case stands', () => {
    for (const { lfls, name } of ROWS.filter((row) => row.lfls.length > 0)) {
      const the = { ...ARCHIVE, refrigerant: fluid(name, lfls[0]?.id), install: null };
      const all = figuresFor(the, STANDARD_AIR).flatMap(({ figures }) => figures);
      expect(new Set(all.map(({ id }) => id)).size).toBe(all.length);
      for (const { standard, formula, words, result } of all) {
        expect(standard).not.toBe('');
        expect(formula).not.toBe('');
        expect(wordsText(words, 'si')).not.toBe('');
        if (result !== null) expect(Number.isFinite(result.value)).toBe(true);
      }
    }
  });

  test('tell what the archive room is outside of: a fifth of LFL in its volume, 3.684 kg', () => {
    const outside = outsideOf(figuresFor(ARCHIVE, STANDARD_AIR));
    expect(outside.map(({ id }) => id)).toEqual(['share.20']);
    expect(said(ARCHIVE, 'share.20')).toBe('the charge, 4.2 kg, is above it by 0.516 kg');
  });

  test('stand outside by a hair, and not at the limit', () => {
    const most = figure(ARCHIVE, 'share.20').result?.value ?? 0;
    expect(figure({ ...ARCHIVE, chargeKg: most }, 'share.20').standing).toBe('within');
    expect(figure({ ...ARCHIVE, chargeKg: most + 1e-6 }, 'share.20').standing).toBe('outside');
  });
});

describe('charge caps', () => {
  test('are outside where the charge is above m3 of its own class, and only told elsewhere', () => {
    const much = { ...ARCHIVE, chargeKg: 60 };
    expect(figure(much, 'cap.m3.rd552-2l').standing).toBe('outside');
    expect(figure(much, 'cap.m3.iec60335-ed6').standing).toBe('within');
    expect(figure(much, 'cap.m2.rd552-2l').standing).toBe('told');
    expect(said(much, 'cap.m2.rd552-2l')).toMatch(/60 kg, is above it/u);
    expect(said(much, 'cap.m3.rd552-23')).toBe('for comparison: this family is not for class A2L');
    expect(said(much, 'cap.m3.rd552-2l')).toMatch(/more than this text allows/u);
  });

  test('of class A3 are those of classes 2 and 3', () => {
    const propane = { ...ARCHIVE, refrigerant: fluid('R-290'), chargeKg: 5 };
    expect(figure(propane, 'cap.m3.rd552-23').standing).toBe('outside');
    expect(figure(propane, 'cap.m3.rd552-2l').standing).toBe('told');
  });
});

describe('charge and room', () => {
  test('show every height and judge none where the installation was not told', () => {
    const the = { ...ARCHIVE, install: null, chargeKg: 6.5 };
    expect(ids(the).filter((id) => id.startsWith('area.charge.rd552.'))).toEqual(
      ['floor', 'window', 'wall', 'ceiling'].map((install) => `area.charge.rd552.${install}`),
    );
    expect(figure(the, 'area.charge.rd552.floor').standing).toBe('told');
    expect(figure({ ...the, install: 'floor' }, 'area.charge.rd552.floor').standing).toBe('outside');
    expect(said({ ...the, install: 'floor' }, 'area.floor.rd552.floor')).toBe(
      'the room has 24 m2, too little',
    );
  });

  test('have no figure for a vapour that is too light for the formula', () => {
    const ammonia = { ...ARCHIVE, refrigerant: fluid('R-717') };
    for (const id of ['area.charge.rd552.ceiling', 'area.floor.iec60335-ed6.ceiling']) {
      expect(figure(ammonia, id)).toMatchObject({ result: null, standing: 'told' });
      expect(said(ammonia, id)).toBe('made for vapours of more than 42 g/mol');
    }
  });

  test('speak of non-fixed units between 4 and 8 LFL alone (RD 552/2019 IF-04 App. 3, seen)', () => {
    expect(figure(ARCHIVE, 'area.charge.nonfixed').result).toBeNull();
    expect(figure({ ...ARCHIVE, chargeKg: 1.228 }, 'area.floor.nonfixed').result).toBeNull();
    const small = { ...ARCHIVE, chargeKg: 2 };
    expect(figure(small, 'area.charge.nonfixed').result?.value).toBeCloseTo(0.25 * 24 * 0.307 * 2.2, 12);
    expect(figure(small, 'area.floor.nonfixed').result?.value).toBeCloseTo(2 / (0.25 * 0.307 * 2.2), 12);
  });
});

describe('least airflow', () => {
  test('is held against the fan where it was told, and says what the stream comes to', () => {
    expect(figure(ARCHIVE, 'airflow.quarter').standing).toBe('within');
    const slow = { ...ARCHIVE, airflowM3PerH: 800 };
    expect(figure(slow, 'airflow.half').standing).toBe('within');
    expect(figure(slow, 'airflow.quarter').standing).toBe('outside');
    expect(said(slow, 'airflow.quarter')).toBe('the fan moves 800 m3/h, which makes 25.65 %LFL in clean air');
  });

  test('is only told where no airflow was', () => {
    expect(figure({ ...ARCHIVE, airflowM3PerH: null }, 'airflow.quarter').standing).toBe('told');
  });
});

describe('ventilation alternatives', () => {
  test('are for classes A1 and A2L', () => {
    expect(ids(ARCHIVE)).toContain('ventilation.rcl');
    expect(ids({ ...ARCHIVE, refrigerant: fluid('R-290') })).not.toContain('ventilation.rcl');
  });

  test('take RCL as printed, else the practical limit, else a fifth of LFL', () => {
    const rcl = (refrigerant: Refrigerant): unknown => {
      const { result, sure } = figure({ ...ARCHIVE, refrigerant }, 'ventilation.rcl');
      return [result?.value, sure];
    };
    expect(rcl(fluid('R-1234yf'))).toEqual([0.058, 'seen']);
    expect(rcl(fluid('R-454B'))).toEqual([0.061, 'seen']);
    expect(rcl(own)).toEqual([0.2 * 0.3, 'computed']);
  });

  test('agree with the printed QLMV of the three fluids that have one, to a unit of its last digit', () => {
    for (const name of ['R-32', 'R-1234yf', 'R-1234ze(E)']) {
      const the = { ...ARCHIVE, refrigerant: fluid(name) };
      const [found, printed] = ['ventilation.qlmv', 'ventilation.qlmv.printed'].map(
        (id) => figure(the, id).result?.value ?? Number.NaN,
      );
      expect(Math.abs(Number(found) - Number(printed)), name).toBeLessThan(0.001);
    }
    expect(ids({ ...ARCHIVE, refrigerant: own })).not.toContain('ventilation.qlmv.printed');
  });

  test('have no QLMV and no opening where the gap balances the leak below RCL', () => {
    const rich = { ...own, lflKgPerM3: kgPerM3(2), molarMassGPerMol: 100 };
    const the = { ...ARCHIVE, refrigerant: rich };
    expect(figure(the, 'ventilation.qlmv').result).toBeNull();
    expect(figure(the, 'ventilation.opening').result).toBeNull();
  });

  test('need no charge limit where outside air alone holds the room below RCL', () => {
    const airy = { ...ARCHIVE, outsideM3PerH: 200 };
    expect(figure(airy, 'ventilation.mechanical').result).toBeNull();
    expect(said(airy, 'ventilation.mechanical')).toMatch(/whatever the charge/u);
    expect(said({ ...ARCHIVE, chargeKg: 7 }, 'ventilation.mechanical')).toMatch(/the charge is above it/u);
  });
});

describe('the limit of flammability', () => {
  test('stands there by every source, the one followed marked, with what the composition makes', () => {
    const the = { ...ARCHIVE, refrigerant: fluid('R-454B', 'iec60335') };
    expect(ids(the).filter((id) => id.startsWith('lfl.'))).toEqual([
      ...['rd552', 'iec60335', 'iec60335-low', 'ashrae34-2019f', 'ashrae34-wcff', 'training'].map(
        (id) => `lfl.${id}`,
      ),
      'lfl.composition',
    ]);
    expect(said(the, 'lfl.iec60335')).toMatch(/^followed here/u);
    expect(said(the, 'lfl.rd552')).toBe('a rig follows it by { name: R-454B, lflFrom: rd552 }');
    expect(figure(the, 'lfl.ashrae34-wcff').result).toBeNull();
    expect(figure(the, 'lfl.composition').result?.value).toBeCloseTo(0.3006, 4);
  });

  test('of a rig’s own refrigerant is its own, beside its composition where that was told', () => {
    expect(ids({ ...ARCHIVE, refrigerant: own }).filter((id) => id.startsWith('lfl.'))).toEqual(['lfl.own']);
    const parts = [
      { name: 'R-32', massPercent: 69 },
      { name: 'R-1234yf', massPercent: 31 },
    ];
    expect(ids({ ...ARCHIVE, refrigerant: { ...own, parts } })).toContain('lfl.composition');
    const inert = [
      { name: 'R-125', massPercent: 50 },
      { name: 'R-744', massPercent: 50 },
    ];
    expect(ids({ ...ARCHIVE, refrigerant: { ...own, parts: inert } })).not.toContain('lfl.composition');
  });
});

describe('levels', () => {
  test('are told in every unit, and a setpoint above 25 %LFL is outside', () => {
    expect(figure(ARCHIVE, 'level.setpoint').standing).toBe('within');
    expect(figure({ ...ARCHIVE, setpointPercentLfl: 26 }, 'level.setpoint').standing).toBe('outside');
    expect(said(ARCHIVE, 'level.quarter')).toBe('36110 ppm, 3.611 %vol, 76.75 g/m3, 4.791 lb/1000ft3');
  });

  test('in warmer air are fewer kilograms and the same share of the volume', () => {
    const [warm] = figuresFor(ARCHIVE, { celsius: 50, kPa: 101.325 }).filter(({ id }) => id === 'levels');
    expect(warm?.about).toMatch(/50 °C at 101\.325 kPa/u);
    expect(warm?.figures[1]?.result?.value).toBeCloseTo((0.07675 * 298.15) / 323.15, 12);
  });
});
