/** What a person at a terminal reads: the verdict, what broke and why, and the rest in a table. */
import { styleText } from 'node:util';
import { RULES, type RuleResult } from '../../../sim/judge/rules.ts';
import { runAgain } from './run-again.ts';
import { plain, wrapped } from './text-lines.ts';
import { type DrillVerdict, isExercised } from './verdict.ts';
import { byConcern, CAUTION, countOf, HOST_WORDS, marginText, momentText, whatBroke } from './words.ts';

export interface TerminalOptions {
  readonly colour: boolean;
  /** Columns; undefined where nobody knows, as in a pipe. */
  readonly width: number | undefined;
}

type Format = Parameters<typeof styleText>[0];

interface Sheet {
  readonly width: number;
  readonly paint: (format: Format, text: string) => string;
}

/** Narrower than this sentences would be cut into single words. */
const WIDTH_MIN = 60;
/** Wider than this they are hard to read. */
const WIDTH_MAX = 110;

const FORMATS: Readonly<Record<RuleResult['result'], Format>> = {
  held: 'green',
  broken: ['red', 'bold'],
  'not exercised': 'dim',
  'not applicable': 'dim',
};

export function reportTerminal(verdicts: readonly DrillVerdict[], options: TerminalOptions): string {
  const sheet: Sheet = {
    width: Math.min(WIDTH_MAX, Math.max(WIDTH_MIN, options.width ?? WIDTH_MAX)),
    paint: (format, text) => (options.colour ? styleText(format, text, { validateStream: false }) : text),
  };
  const overview = verdicts.flatMap((one) => titleLines(one, overviewText(one), sheet));
  return [
    ...verdicts.flatMap((one) => [...drillLines(one, sheet), '']),
    ...(verdicts.length > 1 ? [...overview, ''] : []),
    countOf(verdicts),
    ...wrapped(CAUTION, sheet.width),
    '',
  ].join('\n');
}

function overviewText(verdict: DrillVerdict): string {
  return verdict.verdict === 'held' ? verdict.name : `${verdict.name}: ${whatBroke(verdict).join(', ')}`;
}

function titleLines({ verdict }: DrillVerdict, text: string, { width, paint }: Sheet): readonly string[] {
  const word = verdict.toUpperCase().padEnd('BROKEN'.length);
  const lead = ' '.repeat(word.length + 2);
  return wrapped(plain(text), width, lead).map((line, index) =>
    index === 0 ? `${paint(FORMATS[verdict], word)}  ${line.trimStart()}` : line,
  );
}

function drillLines(verdict: DrillVerdict, sheet: Sheet): readonly string[] {
  const { width, paint } = sheet;
  const { seed, controller, host, trouble, notes, expectations } = verdict;
  const about = `seed ${seed}, controller ${plain(controller)}, ${HOST_WORDS[host]}`;
  return [
    ...titleLines(verdict, verdict.name, sheet),
    ...wrapped(about, width, '  ').map((line) => paint('dim', line)),
    ...trouble.flatMap((line) => wrapped(`! ${plain(line)}`, width, '  ', '  ')),
    ...ruleLines(verdict.rules, sheet),
    ...restLines(verdict.rules, sheet),
    ...expectations.flatMap(({ text, result, because }) => [
      ...resultLines(result, '', `expects ${plain(text)}`, sheet),
      ...(result === 'broken' ? chainLines(because, width) : []),
    ]),
    ...notes.flatMap((note) => wrapped(`Note: ${plain(note)}`, width, '  ', '  ')),
    ...adviceLines(verdict, width),
    // Not broken into lines, so that it can be copied.
    ...(verdict.verdict === 'broken' ? [`  Again: ${plain(runAgain(verdict))}`] : []),
  ];
}

/** What the controller's way of asking gives away; nothing where it was not watched, or asks as it should. */
function adviceLines({ pollReport }: DrillVerdict, width: number): readonly string[] {
  if (pollReport === null || pollReport.advice.length === 0) return [];
  const advice = pollReport.advice.flatMap(({ text }) => wrapped(`- ${plain(text)}`, width, '    ', '  '));
  return ['  Advice on how the controller asks:', ...advice];
}

/** Exercised rules one a line, in columns. */
function ruleLines(rules: readonly RuleResult[], sheet: Sheet): readonly string[] {
  const shown = byConcern(rules).filter(isExercised);
  const figures = aligned(
    shown.map(({ id, marginS, atMs, sensor }) => [
      id,
      marginText(marginS),
      momentText(atMs),
      plain(sensor ?? ''),
    ]),
  );
  return shown.flatMap(({ id, result, because }, index) => [
    ...resultLines(result, figures[index] ?? '', RULES[id].words, sheet),
    ...(result === 'broken' ? chainLines(because, sheet.width) : []),
  ]);
}

/** Cells padded to columns; the second holds figures and stands on its right. */
function aligned(rows: readonly (readonly string[])[]): readonly string[] {
  const widthOf = (column: number): number => Math.max(...rows.map((row) => row[column]?.length ?? 0));
  return rows.map((row) =>
    row
      .map((cell, column) => (column === 1 ? cell.padStart(widthOf(column)) : cell.padEnd(widthOf(column))))
      .join('  '),
  );
}

/** The other rules by name: there is nothing more to say of them. */
function restLines(rules: readonly RuleResult[], { width, paint }: Sheet): readonly string[] {
  return (['not exercised', 'not applicable'] as const).flatMap((result) => {
    const ids = rules.filter((rule) => rule.result === result).map((rule) => rule.id);
    if (ids.length === 0) return [];
    return wrapped(`${result}: ${ids.join(', ')}`, width, '  ', '  ').map((line) => paint('dim', line));
  });
}

const RESULT_WIDTH = 'broken'.length;
const LEAD = ' '.repeat(2 + RESULT_WIDTH + 2);

/** A result in colour and word, its figures, its words; words that do not fit go below, the columns stay. */
function resultLines(
  result: RuleResult['result'],
  figures: string,
  words: string,
  { width, paint }: Sheet,
): readonly string[] {
  const row = figures === '' ? words : `${figures}  ${words}`;
  const fits = LEAD.length + row.length <= width;
  const [first = '', ...more] =
    figures === '' || fits ? wrapped(row, width, LEAD) : [LEAD + figures, ...wrapped(words, width, LEAD)];
  const word = paint(FORMATS[result], result.padEnd(RESULT_WIDTH));
  return [`  ${word}  ${first.slice(LEAD.length).trimEnd()}`, ...more];
}

function chainLines(because: readonly string[], width: number): readonly string[] {
  return because.flatMap((fact) => wrapped(`- ${plain(fact)}`, width, LEAD, '  '));
}
