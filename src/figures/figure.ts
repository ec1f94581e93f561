/**
 * A figure: one number by one named text, with what went in, how, how sure we are of it, and what the case
 * at hand has against it. Sentences keep their amounts as amounts, so that they can be said in SI or in
 * inch-pound units.
 */
import type { HowSure } from '../refrigerant/index.ts';

/** SI inside: kg, kg/h, m, m2, m3, m3/h, /h, kg/m3, g/mol. */
export type Measure =
  | 'mass'
  | 'massRate'
  | 'length'
  | 'area'
  | 'volume'
  | 'airflow'
  | 'frequency'
  | 'concentration'
  | 'molarMass'
  | 'percentLfl'
  | 'percentVol'
  | 'ppm'
  | 'number';

export interface Amount {
  readonly value: number;
  readonly measure: Measure;
}

/** A sentence in pieces. */
export type Words = readonly (string | Amount)[];

/** Whether the case keeps to the figure; "told" where the figure is no limit, or nobody can say. */
export type Standing = 'within' | 'outside' | 'told';

export interface Figure {
  /** Stable, for those who read the JSON. */
  readonly id: string;
  readonly name: string;
  /** Named text and clause. */
  readonly standard: string;
  readonly sure: HowSure;
  readonly formula: string;
  readonly inputs: readonly Input[];
  /** null where the text does not speak of this case; the words say why. */
  readonly result: Amount | null;
  readonly standing: Standing;
  readonly words: Words;
}

export interface Input {
  readonly name: string;
  readonly amount: Amount;
}

export interface FigureGroup {
  readonly id: string;
  readonly title: string;
  /** What the figures of the group have in common, and what to mind. */
  readonly about: string;
  readonly figures: readonly Figure[];
}

export function amount(value: number, measure: Measure): Amount {
  return { value, measure };
}

/** words`a charge of ${amount(2, 'mass')}`. */
export function words(texts: TemplateStringsArray, ...amounts: readonly (Amount | string)[]): Words {
  return texts.flatMap((text, index) => {
    const next = amounts[index];
    return next === undefined ? [text] : [text, next];
  });
}

export function input(name: string, value: number, measure: Measure): Input {
  return { name, amount: amount(value, measure) };
}
