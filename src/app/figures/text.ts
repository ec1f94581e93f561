/**
 * `figures` as a person at a terminal reads it: each figure with its source, then what the bench computes.
 */
import { amountText, type Figure, type FigureGroup, wordsText } from '../../figures/index.ts';
import { CAUTIONS } from '../cautions.ts';
import { plain, wrapped } from '../report/text-lines.ts';
import { type TextOptions, type TextSheet, textSheet } from '../report/text-sheet.ts';
import { BENCH_TITLE, type BenchFact, benchAbout, benchFacts, STEP_TITLE, stepFacts } from './bench-words.ts';
import { caseSentence, type FiguresResult, outsideSentence } from './result.ts';

interface Sheet extends TextSheet {
  readonly result: FiguresResult;
}

const INDENT = '    ';

export function figuresText(result: FiguresResult, options: TextOptions): string {
  const sheet = { ...textSheet(options), result };
  const { width } = sheet;
  return [
    ...wrapped(plain(caseSentence(result)), width),
    '',
    ...result.groups.flatMap((group) => [...groupLines(group, sheet), '']),
    ...benchLines(sheet),
    '',
    ...wrapped(plain(outsideSentence(result.outside)), width),
    '',
    'Cautions',
    ...CAUTIONS.flatMap((caution, index) => wrapped(`${index + 1}. ${caution}`, width, '  ', '   ')),
    '',
  ].join('\n');
}

function groupLines({ title, about, figures }: FigureGroup, sheet: Sheet): readonly string[] {
  return [
    sheet.paint('bold', title),
    ...wrapped(about, sheet.width, '  ').map((line) => sheet.paint('dim', line)),
    ...figures.flatMap((figure) => figureLines(figure, sheet)),
  ];
}

/** Name and result, then whose it is, how it comes about, and how the case stands to it. */
function figureLines(figure: Figure, { width, result: { units }, paint }: Sheet): readonly string[] {
  const { name, result, standard, sure, formula, inputs, words, standing } = figure;
  const value = result === null ? 'no figure' : amountText(result, units);
  const went = inputs.map((input) => `${input.name} ${amountText(input.amount, units)}`).join(', ');
  const outside = standing === 'outside' ? 'OUTSIDE: ' : '';
  const stands = wrapped(plain(`${outside}${wordsText(words, units)}`), width, INDENT, '  ');
  return [
    ...wrapped(`${name}: ${value}`, width, '  ', '  '),
    ...wrapped(plain(`${standard} (${sure})`), width, INDENT, '  ').map((line) => paint('dim', line)),
    ...wrapped(went === '' ? formula : `${formula}; ${went}`, width, INDENT, '  ').map((line) =>
      paint('dim', line),
    ),
    ...(standing === 'outside' ? stands.map((line) => paint('red', line)) : stands),
  ];
}

function benchLines({ width, result, paint }: Sheet): readonly string[] {
  return [
    paint('bold', BENCH_TITLE),
    ...wrapped(benchAbout(result), width, '  ').map((line) => paint('dim', line)),
    ...result.bench.flatMap((course) => [
      `  Fan ${course.fan}`,
      ...factLines(benchFacts(course, result), width),
    ]),
    ...stepLines(stepFacts(result.rig), width),
  ];
}

/** Nothing is said where no sensor shows a reading. */
function stepLines(facts: readonly BenchFact[], width: number): readonly string[] {
  return facts.length === 0 ? [] : [...wrapped(STEP_TITLE, width, '  '), ...factLines(facts, width)];
}

function factLines(facts: readonly BenchFact[], width: number): readonly string[] {
  return facts.flatMap(({ name, value }) => wrapped(`${name}: ${value}`, width, INDENT, '  '));
}
