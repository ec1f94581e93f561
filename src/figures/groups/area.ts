/** How much charge a room may hold, and how large a room must be, by how the unit is installed. */
import type { HowSure } from '../../refrigerant/index.ts';
import { type FiguresCase, INSTALLS, type Install, volumeM3 } from '../case.ts';
import { amount, type Figure, type FigureGroup, input, type Standing, type Words, words } from '../figure.ts';
import {
  cappedMaxCharge,
  cappedMinFloor,
  dispersalCharge,
  maxCharge,
  minFloor,
  nonFixedMaxCharge,
  nonFixedMinFloor,
  shareOfLfl,
} from '../formulas.ts';

/** The root formula is made for vapours heavier than this, g/mol. */
const MOLAR_MASS_MIN = 42;

export function areaFigures(the: FiguresCase): FigureGroup {
  const installs = Object.keys(INSTALLS) as Install[];
  const asked = the.install === null ? installs : installs.filter((one) => one === the.install);
  return {
    id: 'area',
    title: 'Charge and room',
    about:
      the.install === null
        ? 'The height of installation was not told (--install): every height is shown, none is judged. These rules are alternatives; which one counts depends on the equipment.'
        : 'These rules are alternatives; which one counts depends on the equipment.',
    figures: [
      ...asked.flatMap((install) => [
        ...roomFigures(the, install, ROOT),
        ...roomFigures(the, install, CAPPED),
      ]),
      ...nonFixed(the),
      ...volumeFigures(the),
    ],
  };
}

interface RoomFormula {
  readonly id: string;
  readonly standard: string;
  readonly sure: HowSure;
  readonly mass: readonly [string, (lfl: number, h0: number, floor: number) => number];
  readonly floor: readonly [string, (charge: number, lfl: number, h0: number) => number];
}

const ROOT: RoomFormula = {
  id: 'rd552',
  standard: 'Real Decreto 552/2019 IF-04 App. 3 eq. 1 and 2',
  sure: 'seen',
  mass: ['m_max = 2.5 · LFL^1.25 · h0 · √A', maxCharge],
  floor: ['A_min = (m / (2.5 · LFL^1.25 · h0))²', minFloor],
};

const CAPPED: RoomFormula = {
  id: 'iec60335-ed6',
  standard: 'IEC 60335-2-40 Ed. 6 GG.2 (cap inferred from published tables; h0 as for RD 552/2019)',
  sure: 'seen second hand',
  mass: ['m_max = min(2.5 · LFL^1.25 · h0 · √A, 0.75 · LFL · h0 · A)', cappedMaxCharge],
  floor: ['A_min = max((m / (2.5 · LFL^1.25 · h0))², m / (0.75 · LFL · h0))', cappedMinFloor],
};

function roomFigures(the: FiguresCase, install: Install, rule: RoomFormula): Figure[] {
  const { chargeKg, floorM2, refrigerant } = the;
  const [lfl, h0] = [refrigerant.lflKgPerM3, INSTALLS[install]];
  const light = refrigerant.molarMassGPerMol <= MOLAR_MASS_MIN;
  const mass = rule.mass[1](lfl, h0, floorM2);
  const floor = rule.floor[1](chargeKg, lfl, h0);
  const common = { standard: rule.standard, sure: rule.sure };
  const shared = [input('LFL', lfl, 'concentration'), input('h0', h0, 'length')];
  const judged = the.install !== null && !light;
  const tooLight = words`made for vapours of more than ${amount(MOLAR_MASS_MIN, 'molarMass')}`;
  return [
    {
      ...common,
      id: `area.charge.${rule.id}.${install}`,
      name: `Greatest charge in this room (${install})`,
      formula: rule.mass[0],
      inputs: [...shared, input('A', floorM2, 'area')],
      result: light ? null : amount(mass, 'mass'),
      standing: standing(judged, chargeKg <= mass),
      words: light ? tooLight : chargeAgainst(chargeKg, mass),
    },
    {
      ...common,
      id: `area.floor.${rule.id}.${install}`,
      name: `Least floor for this charge (${install})`,
      formula: rule.floor[0],
      inputs: [...shared, input('m', chargeKg, 'mass')],
      result: light ? null : amount(floor, 'area'),
      standing: standing(judged, floorM2 >= floor),
      words: light
        ? tooLight
        : words`the room has ${amount(floorM2, 'area')}${floorM2 >= floor ? '' : ', too little'}`,
    },
  ];
}

/** Factory-sealed units that are not fixed, with a fan that never stops: no rig says whether it is one. */
function nonFixed(the: FiguresCase): Figure[] {
  const { chargeKg, floorM2, refrigerant } = the;
  const lfl = refrigerant.lflKgPerM3;
  const speaks = chargeKg > 4 * lfl && chargeKg <= 8 * lfl;
  const silent = words`speaks only of charges above ${amount(4 * lfl, 'mass')} (4 · LFL) up to ${amount(8 * lfl, 'mass')} (8 · LFL)`;
  const only = 'only for factory-sealed units that are not fixed, with a fan that never stops';
  const common = { standard: 'Real Decreto 552/2019 IF-04 App. 3 eq. 3 to 5', sure: 'seen' } as const;
  return [
    {
      ...common,
      id: 'area.charge.nonfixed',
      name: 'Greatest charge of a non-fixed unit',
      formula: 'm_max = 0.25 · A · LFL · 2.2 m',
      inputs: [input('LFL', lfl, 'concentration'), input('A', floorM2, 'area')],
      result: speaks ? amount(nonFixedMaxCharge(lfl, floorM2), 'mass') : null,
      standing: 'told',
      words: speaks ? words`${only}` : silent,
    },
    {
      ...common,
      id: 'area.floor.nonfixed',
      name: 'Least floor for a non-fixed unit',
      formula: 'A_min = m / (0.25 · LFL · 2.2 m)',
      inputs: [input('LFL', lfl, 'concentration'), input('m', chargeKg, 'mass')],
      result: speaks ? amount(nonFixedMinFloor(chargeKg, lfl), 'area') : null,
      standing: 'told',
      words: speaks ? words`${only}` : silent,
    },
  ];
}

/** By the volume of the room alone. */
function volumeFigures(the: FiguresCase): Figure[] {
  const lfl = the.refrigerant.lflKgPerM3;
  const volume = volumeM3(the);
  const inputs = [input('V', volume, 'volume'), input('LFL', lfl, 'concentration')];
  const dispersal = (factor: number, occupancy: string): Figure => {
    const mass = dispersalCharge(volume, lfl, factor);
    return {
      id: `edvc.${factor}`,
      name: `Effective dispersal volume charge (${occupancy})`,
      standard: 'ANSI/ASHRAE 15-2022 7.3 (its factors; that it exists was seen second hand)',
      sure: 'memory',
      formula: 'EDVC = V · LFL · CF · F_occ, CF = 0.5',
      inputs: [...inputs, input('F_occ', factor, 'number')],
      result: amount(mass, 'mass'),
      standing: factor === 1 ? standing(true, the.chargeKg <= mass) : 'told',
      words: chargeAgainst(the.chargeKg, mass),
    };
  };
  const fifth = shareOfLfl(0.2, lfl, volume);
  return [
    {
      id: 'share.20',
      name: 'A fifth of LFL in the whole room',
      standard: 'Real Decreto 552/2019 IF-04 Table B, other occupied spaces',
      sure: 'seen',
      formula: 'm = 20 % · LFL · V',
      inputs,
      result: amount(fifth, 'mass'),
      standing: standing(true, the.chargeKg <= fifth),
      words: chargeAgainst(the.chargeKg, fifth),
    },
    dispersal(1, 'F_occ 1'),
    dispersal(0.5, 'institutional, F_occ 0.5'),
  ];
}

function standing(judged: boolean, keeps: boolean): Standing {
  if (!judged) return 'told';
  return keeps ? 'within' : 'outside';
}

function chargeAgainst(chargeKg: number, limitKg: number): Words {
  const charge = amount(chargeKg, 'mass');
  return chargeKg <= limitKg
    ? words`the charge, ${charge}, is not above it`
    : words`the charge, ${charge}, is above it by ${amount(chargeKg - limitKg, 'mass')}`;
}
