/** What a person at a terminal reads: the verdict, what broke and why, and the rest in a table. */
import { RULES, type RuleResult } from '../../../sim/judge/rules.ts';
import { runAgain } from './run-again.ts';
import { plain, wrapped } from './text-lines.ts';
import { aligned, type Format, type TextOptions, type TextSheet, textSheet } from './text-sheet.ts';
import { type DrillVerdict, isExercised } from './verdict.ts';
import {
  ADVICE_HEAD,
  adviceOf,
  byConcern,
  CAUTION,
  countOf,
  HOST_WORDS,
  marginText,
  momentText,
  whatBroke,
} from './words.ts';

const FORMATS: Readonly<Record<RuleResult['result'], Format>> = {
  held: 'green',
  broken: ['red', 'bold'],
  'not exercised': 'dim',
  'not applicable': 'dim',
};

export function reportTerminal(verdicts: readonly DrillVerdict[], options: TextOptions): string {
  const sheet = textSheet(options);
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

function titleLines({ verdict }: DrillVerdict, text: string, { width, paint }: TextSheet): readonly string[] {
  const word = verdict.toUpperCase().padEnd('BROKEN'.length);
  const lead = ' '.repeat(word.length + 2);
  return wrapped(plain(text), width, lead).map((line, index) =>
    index === 0 ? `${paint(FORMATS[verdict], word)}  ${line.trimStart()}` : line,
  );
}

function drillLines(verdict: DrillVerdict, sheet: TextSheet): readonly string[] {
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

function adviceLines(verdict: DrillVerdict, width: number): readonly string[] {
  const advice = adviceOf(verdict);
  if (advice.length === 0) return [];
  return [`  ${ADVICE_HEAD}:`, ...advice.flatMap((text) => wrapped(`- ${plain(text)}`, width, '    ', '  '))];
}

const MARGIN_COLUMN = 1;
/** Of a limit that was kept without anything having been done for it. */
const STOOD = ' (mitigation stood already)';

/** Exercised rules one a line, in columns. */
function ruleLines(rules: readonly RuleResult[], sheet: TextSheet): readonly string[] {
  const shown = byConcern(rules).filter(isExercised);
  const figures = aligned(
    shown.map(({ id, marginS, atMs, sensor }) => [
      id,
      marginText(marginS),
      momentText(atMs),
      plain(sensor ?? ''),
    ]),
    (column) => column === MARGIN_COLUMN,
  );
  return shown.flatMap(({ id, result, because, stoodAlready }, index) => [
    ...resultLines(result, figures[index] ?? '', RULES[id].words + (stoodAlready ? STOOD : ''), sheet),
    ...(result === 'broken' ? chainLines(because, sheet.width) : []),
  ]);
}

/** The other rules by name: there is nothing more to say of them. */
function restLines(rules: readonly RuleResult[], { width, paint }: TextSheet): readonly string[] {
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
  { width, paint }: TextSheet,
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
