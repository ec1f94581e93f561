/** Charge caps m1, m2, m3 in the three families that are published. */
import type { HowSure, SafetyClass } from '../../refrigerant/index.ts';
import { classOf, type FiguresCase } from '../case.ts';
import { amount, type Figure, type FigureGroup, input, type Words, words } from '../figure.ts';
import { chargeCap } from '../formulas.ts';

const RD552 = 'Real Decreto 552/2019 IF-04 App. 2';

interface Family {
  readonly id: string;
  readonly standard: string;
  readonly volumes: readonly [number, number, number];
  readonly sure: readonly [HowSure, HowSure, HowSure];
  /** What it is for; to other classes it is shown for comparison. */
  readonly classes: readonly SafetyClass[];
}

/** The volumes come of 150 g, 1 kg and 5 kg of R-290 (RD 552/2019 IF-04 App. 2, seen). */
const FAMILIES: readonly Family[] = [
  {
    id: 'rd552-2l',
    standard: `${RD552}, class 2L (1.5 times that of classes 2 and 3)`,
    volumes: [6, 39, 195],
    sure: ['seen', 'seen', 'seen'],
    classes: ['A2L', 'B2L'],
  },
  {
    id: 'iec60335-ed6',
    standard: 'IEC 60335-2-40 Ed. 6, class 2L',
    volumes: [6, 52, 260],
    sure: ['seen second hand', 'seen second hand', 'memory'],
    classes: ['A2L', 'B2L'],
  },
  {
    id: 'rd552-23',
    standard: `${RD552}, classes 2 and 3`,
    volumes: [4, 26, 130],
    sure: ['seen', 'seen', 'seen'],
    classes: ['A2', 'A3'],
  },
];

export function capFigures(the: FiguresCase): FigureGroup {
  return {
    id: 'caps',
    title: 'Charge caps',
    about:
      'Of one circuit. What a text asks for between two caps is from memory, where it is not said otherwise: read it there.',
    figures: ([0, 1, 2] as const).flatMap((tier) => FAMILIES.map((family) => cap(the, family, tier))),
  };
}

function cap(the: FiguresCase, family: Family, tier: 0 | 1 | 2): Figure {
  const volume = family.volumes[tier];
  const { lflKgPerM3 } = the.refrigerant;
  const result = chargeCap(volume, lflKgPerM3);
  const above = the.chargeKg > result;
  const safetyClass = classOf(the.refrigerant);
  const speaks = family.classes.includes(safetyClass);
  return {
    id: `cap.m${tier + 1}.${family.id}`,
    name: `m${tier + 1}`,
    standard: family.standard,
    sure: family.sure[tier],
    formula: `m${tier + 1} = ${volume} m3 · LFL`,
    inputs: [input('LFL', lflKgPerM3, 'concentration')],
    result: amount(result, 'mass'),
    standing: speaks && tier === 2 ? (above ? 'outside' : 'within') : 'told',
    words: speaks
      ? stands(the, tier, above)
      : words`for comparison: this family is not for class ${safetyClass}`,
  };
}

function stands({ chargeKg }: FiguresCase, tier: 0 | 1 | 2, above: boolean): Words {
  const charge = amount(chargeKg, 'mass');
  if (!above) return words`the charge, ${charge}, is not above it`;
  const then = [
    'above it, so that room area counts and detection is asked for in ducted units (second hand)',
    'above it, so that room area alone no longer suffices (memory)',
    'above it: more than this text allows in an occupied space (memory)',
  ] as const;
  return words`the charge, ${charge}, is ${then[tier]}`;
}
