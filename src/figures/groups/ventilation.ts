/** What a room may hold with ventilation as a further measure, for systems restricted to pinhole leaks. */
import { recordOf } from '../../refrigerant/index.ts';
import { type FiguresCase, rclOf, volumeM3 } from '../case.ts';
import { amount, type Figure, type FigureGroup, input, type Words, words } from '../figure.ts';
import { mechanicalAirflow, mechanicalMaxCharge, naturalOpening, PINHOLE_KG_PER_H } from '../formulas.ts';
import { qlmv } from '../qlmv.ts';

const APP4 = 'Real Decreto 552/2019 IF-04 App. 4 (as EN 378-1 Annex C.3)';

export function ventilationFigures(the: FiguresCase): FigureGroup {
  const rcl = rclOf(the.refrigerant);
  const { rcl: limit, gap, half } = limits(the);
  return {
    id: 'ventilation',
    title: 'Ventilation alternatives',
    about: `Only for systems whose leak cannot pass ${PINHOLE_KG_PER_H} kg/h (restricted, pinhole type). RCL: ${rcl.from} (${rcl.sure}).`,
    figures: [
      limit,
      gap.figure,
      ...(gap.published === null ? [] : [gap.published]),
      half,
      opening(the, gap.value),
      mechanical(the, rcl.value),
      anyCharge(the, rcl.value),
    ],
  };
}

interface Limits {
  readonly rcl: Figure;
  /** QLMV: worked out, and as printed where it is. */
  readonly gap: { readonly figure: Figure; readonly published: Figure | null; readonly value: number | null };
  readonly half: Figure;
}

function limits(the: FiguresCase): Limits {
  const { refrigerant } = the;
  const rcl = rclOf(refrigerant);
  const printed = recordOf(refrigerant)?.row.facts.restricted;
  const { molarMassGPerMol, lflKgPerM3 } = refrigerant;
  const found = qlmv(rcl.value, molarMassGPerMol);
  const inputs = [input('RCL', rcl.value, 'concentration'), input('M', molarMassGPerMol, 'molarMass')];
  const common = { standard: APP4, sure: 'seen', standing: 'told' } as const;
  const figure: Figure = {
    ...common,
    id: 'ventilation.qlmv',
    name: 'QLMV, one door gap of natural ventilation',
    formula: 'dx/ds = m − x·A·c·√(2·(1 − ρa/ρ)·h·g), QLMV = m·s where x = RCL',
    inputs,
    result: found === null ? null : amount(found, 'concentration'),
    words: found === null ? words`the gap lets out as much as can leak: never reached` : perRoom(the, found),
  };
  const published: Figure | null =
    printed === undefined
      ? null
      : {
          ...figure,
          id: 'ventilation.qlmv.printed',
          name: 'QLMV as printed',
          formula: 'as printed',
          inputs: [],
          result: amount(printed.qlmv, 'concentration'),
          words: perRoom(the, printed.qlmv),
        };
  const qlav = printed?.qlav ?? lflKgPerM3 / 2;
  return {
    rcl: {
      ...common,
      standard: rcl.from,
      sure: rcl.sure,
      id: 'ventilation.rcl',
      name: 'RCL',
      formula: rcl.sure === 'seen' ? 'as printed' : '0.2 · LFL',
      inputs: [],
      result: amount(rcl.value, 'concentration'),
      words: perRoom(the, rcl.value),
    },
    gap: { figure, published, value: found },
    half: {
      ...common,
      id: 'ventilation.qlav',
      name: 'QLAV, with one further measure at the least',
      formula: printed === undefined ? '0.5 · LFL' : 'as printed (0.5 · LFL for class 2L)',
      inputs: [input('LFL', lflKgPerM3, 'concentration')],
      result: amount(qlav, 'concentration'),
      words: perRoom(the, qlav),
    },
  };
}

function opening(the: FiguresCase, gap: number | null): Figure {
  const volume = volumeM3(the);
  const inputs = [input('m', the.chargeKg, 'mass'), input('V', volume, 'volume')];
  return {
    id: 'ventilation.opening',
    name: 'Natural opening, at the top and at the bottom each',
    standard: APP4,
    sure: 'seen',
    formula: 'A = 0.0032 · m / (QLMV · V)',
    inputs: gap === null ? inputs : [...inputs, input('QLMV', gap, 'concentration')],
    result: gap === null ? null : amount(naturalOpening(the.chargeKg, gap, volume), 'area'),
    standing: 'told',
    words: words`lower edge of the bottom one not above ${amount(0.2, 'length')}; the rig does not say what openings its room has`,
  };
}

function mechanical(the: FiguresCase, rcl: number): Figure {
  const volume = volumeM3(the);
  const most = mechanicalMaxCharge(volume, the.outsideM3PerH, rcl);
  const inputs = [
    input('V', volume, 'volume'),
    input('Q', the.outsideM3PerH, 'airflow'),
    input('RCL', rcl, 'concentration'),
  ];
  return {
    id: 'ventilation.mechanical',
    name: 'Charge that the outside air of this room allows',
    standard: APP4,
    sure: 'seen',
    formula: 'm = −(10 · V / Q) · ln(1 − Q · RCL / 10)',
    inputs,
    result: most === null ? null : amount(most, 'mass'),
    standing: 'told',
    words:
      most === null
        ? words`this airflow keeps the room below RCL whatever the charge`
        : chargeBeside(the.chargeKg, most),
  };
}

function anyCharge(the: FiguresCase, rcl: number): Figure {
  return {
    id: 'ventilation.any',
    name: 'Outside air that allows any charge',
    standard: APP4,
    sure: 'seen',
    formula: 'Q = 10 / RCL',
    inputs: [input('RCL', rcl, 'concentration')],
    result: amount(mechanicalAirflow(rcl), 'airflow'),
    standing: 'told',
    words: words`the room has ${amount(the.outsideM3PerH, 'airflow')} of outside air`,
  };
}

function perRoom(the: FiguresCase, perM3: number): Words {
  const limit = perM3 * volumeM3(the);
  return words`${amount(limit, 'mass')} in this room; ${chargeText(the.chargeKg, limit)}`;
}

function chargeBeside(chargeKg: number, limit: number): Words {
  return words`the charge is ${amount(chargeKg, 'mass')}: ${chargeText(chargeKg, limit)}`;
}

function chargeText(chargeKg: number, limit: number): string {
  return chargeKg <= limit ? 'the charge is not above it' : 'the charge is above it';
}
