/**
 * `budget` as a person at a terminal reads it: lines, the way from gas to mitigation, limits, what would
 * help.
 */
import type { Limit, Suggestion } from '../../budget/index.ts';
import { plain, wrapped } from '../report/text-lines.ts';
import { aligned, type TextOptions, type TextSheet, textSheet } from '../report/text-sheet.ts';
import { CAUTION } from '../report/words.ts';
import {
  adviceSentence,
  assumedText,
  type BudgetResult,
  CYCLE_WORDS,
  figureText,
  LINE_HEADS,
  limitName,
  lineCells,
  standing,
  timeText,
} from './result.ts';

const INDENT = '  ';
/** After a line's name and its medium. */
const FIGURES_FROM = 2;

export function budgetText(result: BudgetResult, options: TextOptions): string {
  const sheet = textSheet(options);
  const { width, paint } = sheet;
  const { rig, budget } = result;
  return [
    paint(budget.fits ? 'bold' : 'red', plain(`${rig.name} ${standing(budget)}`)),
    ...wrapped(assumedText(budget.assumptions), width).map((line) => paint('dim', line)),
    '',
    paint('bold', 'Bus time of one cycle'),
    ...aligned([LINE_HEADS, ...budget.lines.map(lineCells)], (column) => column >= FIGURES_FROM).map(
      indented,
    ),
    ...wrapped(CYCLE_WORDS, width, INDENT).map((line) => paint('dim', line)),
    '',
    ...responseLines(result, sheet),
    '',
    paint('bold', 'Limits'),
    ...budget.limits.flatMap((limit) => limitLines(limit, sheet)),
    '',
    ...adviceLines(result, sheet),
    ...wrapped(CAUTION, width),
    '',
  ].join('\n');
}

function indented(line: string): string {
  return `${INDENT}${line}`.trimEnd();
}

/** Wide enough for "999.99 s" and "9999 ms". */
const TIME_WIDTH = 8;

/** A time on its right, what it is, and below how it comes about. */
function responseLines({ budget: { response } }: BudgetResult, sheet: TextSheet): readonly string[] {
  const { sensor, items, reportedMs, commandedMs, airflowMs } = response;
  const lead = ' '.repeat(INDENT.length + TIME_WIDTH + 2);
  const row = (valueMs: number, words: string): string =>
    `${INDENT}${timeText(valueMs).padStart(TIME_WIDTH)}  ${words}`;
  const sums = [
    [reportedMs, 'its registers say gas'],
    [commandedMs, 'mitigation is commanded'],
    [airflowMs, 'air moves'],
  ] as const;
  return [
    sheet.paint('bold', plain(`From a step to the LFL to mitigation, at worst: ${sensor}`)),
    ...items.flatMap(({ name, ms, formula, source }) => [
      row(ms, name),
      ...wrapped(`${formula} [${source}]`, sheet.width, lead).map((line) => sheet.paint('dim', line)),
    ]),
    ...sums.map(([valueMs, words]) => sheet.paint('bold', row(valueMs, `in all until ${words}`))),
  ];
}

const WORD_WIDTH = 'BROKEN'.length;

function limitLines(limit: Limit, { width, paint }: TextSheet): readonly string[] {
  const { what, needMs, limitMs, fits, source } = limit;
  const lead = ' '.repeat(INDENT.length + WORD_WIDTH + 2);
  const word = (fits ? 'met' : 'BROKEN').padEnd(WORD_WIDTH);
  const figures = `${limitName(limit)}: ${timeText(needMs)} of ${timeText(limitMs)}`;
  return [
    `${INDENT}${fits ? word : paint('red', word)}  ${figures}`,
    ...wrapped(`${what} [${source}]`, width, lead).map((line) => paint('dim', line)),
  ];
}

function adviceLines(result: BudgetResult, sheet: TextSheet): readonly string[] {
  const sentence = adviceSentence(result);
  if (sentence === null) return [];
  return [
    sheet.paint('bold', 'What would help'),
    ...wrapped(sentence, sheet.width, INDENT),
    ...result.advice.flatMap((one) => suggestionLines(one, sheet)),
    '',
  ];
}

function suggestionLines(
  { words, costs, fits, figures }: Suggestion,
  { width, paint }: TextSheet,
): readonly string[] {
  const lead = fits ? 'Every limit met: ' : 'Helps: ';
  const more = [...figures.map(figureText), ...costs.map((cost) => `but ${cost}`)];
  return [
    ...wrapped(`- ${lead}${words}`, width, INDENT, INDENT),
    ...more.flatMap((line) => wrapped(line, width, '      ', INDENT)).map((line) => paint('dim', line)),
  ];
}
