/** The lower flammability limit by every source that the table has, with what the composition says beside. */
import {
  blendOf,
  inUnit,
  type LflRecord,
  type Part,
  percentLflOf,
  type RefrigerantRow,
  recordOf,
  SOURCES,
  toKgPerM3,
} from '../../refrigerant/index.ts';
import type { FiguresCase } from '../case.ts';
import { amount, type Figure, type FigureGroup, input, words } from '../figure.ts';

export function lflFigures(the: FiguresCase): FigureGroup {
  const found = recordOf(the.refrigerant);
  const parts = found?.row.parts ?? the.refrigerant.parts ?? [];
  return {
    id: 'lfl',
    title: `Lower flammability limit of ${the.refrigerant.name}`,
    about: 'At 25 °C, 101.325 kPa. Sources disagree; the bench follows the one that is marked.',
    figures: [
      ...(found === null
        ? [own(the)]
        : found.row.lfls.map((one) => published(found.row, one, found.record, the))),
      ...(parts.length > 1 ? blended(parts, the) : []),
    ],
  };
}

function own({ refrigerant }: FiguresCase): Figure {
  return {
    id: 'lfl.own',
    name: 'LFL as the rig gives it',
    standard: refrigerant.source,
    sure: 'memory',
    formula: 'as written in the rig file',
    inputs: [],
    result: amount(refrigerant.lflKgPerM3, 'concentration'),
    standing: 'told',
    words: words`followed here; nobody but the writer of the rig has read its source`,
  };
}

function published(row: RefrigerantRow, one: LflRecord, followed: LflRecord, the: FiguresCase): Figure {
  const { molarMassGPerMol } = the.refrigerant;
  const inMass = one.amount.unit === 'kg/m3';
  const foreign = !inMass && one.note !== null;
  const fluid = { lflKgPerM3: 0, molarMassGPerMol };
  const printed = inMass
    ? input('printed', one.amount.value, 'concentration')
    : input('printed', one.amount.value, 'percentVol');
  const note = one.note === null ? '' : `; ${one.note}`;
  return {
    id: `lfl.${one.id}`,
    name: `LFL, record ${one.id}`,
    standard: SOURCES[one.id].title,
    sure: SOURCES[one.id].sure,
    formula: inMass ? 'as printed' : 'C = φ/100 · M / 24.465',
    inputs: inMass ? [printed] : [printed, input('M', molarMassGPerMol, 'molarMass')],
    result: foreign ? null : amount(toKgPerM3(one.amount, fluid), 'concentration'),
    standing: 'told',
    words: words`${one === followed ? 'followed here' : `a rig follows it by { name: ${row.name}, lflFrom: ${one.id} }`}${note}`,
    ...(foreign ? { words: words`cannot be turned into mass with the molar mass of the blend${note}` } : {}),
  };
}

/** Computed from the composition, to stand beside what is published. */
function blended(parts: readonly Part[], { refrigerant }: FiguresCase): Figure[] {
  const blend = blendOf(parts);
  const mix = blend.moleFractions.map(({ name, fraction }) => input(`x ${name}`, fraction, 'number'));
  if (blend.lfl === null) return [];
  const { kgPerM3, percentVol } = blend.lfl;
  const percent = percentLflOf(kgPerM3, refrigerant);
  return [
    {
      id: 'lfl.composition',
      name: 'LFL from the composition',
      standard: 'Le Chatelier’s rule over the parts that burn, with the published % of volume of each',
      sure: 'computed',
      formula: 'LFL = 1 / Σ(x/LFL) in % of volume, then C = φ/100 · M / 24.465',
      inputs: [...mix, input('M', blend.molarMassGPerMol, 'molarMass')],
      result: amount(kgPerM3, 'concentration'),
      standing: 'told',
      words: words`${amount(percentVol, 'percentVol')}, ${amount(percent, 'percentLfl')} of the one followed, which is ${amount(inUnit(refrigerant.lflKgPerM3, '%vol', refrigerant), 'percentVol')}`,
    },
  ];
}
