/** Reads a drill file: schema, its own sums, its rig or one that is there already, then what speaks of it. */
import { dirname, isAbsolute, join } from 'node:path';
import {
  type FileOutcome,
  type FileProblem,
  type Locate,
  parseYaml,
  readYamlFile,
  suggestion,
  type YamlFile,
} from '../../src/files/index.ts';
import { type Lesson, partsOf } from '../../src/lesson/index.ts';
import { loadRig, type Rig } from '../../src/rig/index.ts';
import { exactDuration, formatClock, ms } from '../../src/units/index.ts';
import { RULE_IDS, RULES, type RuleId } from '../judge/rules.ts';
import type { Drill } from './drill.ts';
import { type DrillFile, drillSchema } from './drill-schema.ts';
import type { Expectation, Expression } from './expectation.ts';
import { parseExpression } from './parse-expression.ts';
import { readStep } from './step.ts';

type Path = Parameters<Locate>[0];

/** What a check needs to speak of the file, and where its problems go. */
interface Source {
  readonly text: string;
  readonly locate: Locate;
  readonly problems: FileProblem[];
}

/** A drill file that is read, but not yet held against a rig. */
export type ReadDrill = YamlFile<DrillFile>;

/** `on`: the rig to take in the place of the file's own; null for its own. */
export function loadDrill(file: string, on: Rig | null = null): FileOutcome<Drill> {
  const read = readYamlFile(file, drillSchema);
  if (!read.ok) return read;
  if (on !== null) return drillOn(on, file, read.value);
  const { value: written, locate } = read.value;
  const rigFile = isAbsolute(written.rig) ? written.rig : join(dirname(file), written.rig);
  const loaded = loadRig(rigFile);
  if (!loaded.ok) {
    const unusable = locate(['rig'], `"${written.rig}" cannot be used; its own problems follow`);
    const own = ownProblems(read.value);
    return { ok: false, problems: [...own, unusable, ...loaded.problems] };
  }
  const outcome = drillOn(loaded.value, file, read.value);
  return outcome.ok ? { ...outcome, warnings: loaded.warnings } : outcome;
}

/** Reads the text of a drill file; `file` is what its problems name. */
export function readDrillText(file: string, text: string): FileOutcome<ReadDrill> {
  return parseYaml(file, text, drillSchema);
}

/** The drill on a rig that is there already: the file's own `rig` is not followed. */
export function drillOn(rig: Rig, file: string, read: ReadDrill): FileOutcome<Drill> {
  const { value: written, text, locate } = read;
  const source: Source = { text, locate, problems: ownProblems(read) };
  const rules = rulesOf(written.rules);
  const steps = stepsOf(written, rig, source);
  const expectations = written.expect.flatMap((one, index) => expectationOf(one, index, rig, source));
  const lesson = lessonOf(written, rig, source);
  if (source.problems.length > 0) return { ok: false, problems: source.problems.toSorted(byPlace) };
  const { name, why, calls } = written;
  const lengthMs = ms(written.length);
  const rigFile = rig.file;
  const drill = { name, why, file, text, rigFile, rig, lengthMs, calls, steps, rules, expectations, lesson };
  return { ok: true, value: drill, warnings: [] };
}

/** What is wrong with it whatever its rig. */
function ownProblems({ value: written, text, locate }: ReadDrill): FileProblem[] {
  const source: Source = { text, locate, problems: [] };
  checkTimes(written, source);
  if (rulesOf(written.rules).length === 0 && written.expect.length === 0) {
    source.problems.push(locate(['rules'], 'leaves nothing to judge; name a rule, or expect something'));
  }
  return source.problems;
}

function byPlace(one: FileProblem, other: FileProblem): number {
  return one.line - other.line || one.column - other.column;
}

/** In the order of the table, whatever the order of the file. */
function rulesOf(written: DrillFile['rules']): readonly RuleId[] {
  return RULE_IDS.filter((id) => {
    if (written === 'all') return true;
    if (written === 'published') return RULES[id].tier === 'published';
    return 'except' in written ? !written.except.includes(id) : written.includes(id);
  });
}

/** Whatever cannot come to pass before the drill ends is a mistake, not an expectation that fails. */
function checkTimes({ length, steps, expect }: DrillFile, { locate, problems }: Source): void {
  const end = `the end of the drill, ${exactDuration(length)}`;
  const late = (path: Path, atMs: number): void => {
    problems.push(locate(path, `${exactDuration(atMs)} is after ${end}; write less, or a greater length`));
  };
  steps.forEach(({ at }, index) => {
    if (at > length) late(['steps', index, 'at'], at);
  });
  expect.forEach(({ at = 0, for: forMs }, index) => {
    if (at > length) late(['expect', index, 'at'], at);
    else if (at + forMs > length) {
      const ends = `${exactDuration(forMs)} from ${formatClock(at)} on ends after ${end}`;
      problems.push(locate(['expect', index, 'for'], `${ends}; write less, or a greater length`));
    }
  });
}

/** In order of time; toSorted is stable, so that those of one moment stay as they are written. */
function stepsOf({ steps }: DrillFile, rig: Rig, { locate, problems }: Source): Drill['steps'] {
  const read = steps.flatMap(({ at, ...rest }, index) => {
    const outcome = readStep(rest, rig);
    if (outcome.ok) return [{ atMs: ms(at), step: outcome.step }];
    const spot = locate(['steps', index, ...outcome.path], '', outcome.at);
    const isInside = outcome.path.length > (outcome.at === 'key' ? 1 : 0);
    const joint = isInside ? '.' : ': ';
    problems.push({ ...spot, message: `steps[${index}]${joint}${outcome.problem}` });
    return [];
  });
  return read.toSorted((one, other) => one.atMs - other.atMs);
}

function expectationOf(
  written: DrillFile['expect'][number],
  index: number,
  rig: Rig,
  source: Source,
): readonly Expectation[] {
  const { when: whenText, at, then: thenText, within: withinMs, for: forMs } = written;
  const path = ['expect', index];
  const when =
    whenText === undefined ? { atMs: at ?? 0 } : expressionOf(whenText, [...path, 'when'], rig, source);
  const then = expressionOf(thenText, [...path, 'then'], rig, source);
  if (when === null || then === null) return [];
  const moment = whenText === undefined ? `at ${formatClock(at ?? 0)}` : `when ${oneLine(whenText)}`;
  const within = withinMs > 0 ? `, within ${exactDuration(withinMs)}` : '';
  const lasting = forMs > 0 ? `, for ${exactDuration(forMs)}` : '';
  return [{ text: `${moment}, then ${oneLine(thenText)}${within}${lasting}`, when, then, withinMs, forMs }];
}

/** Its parts are those of the rig; where nothing is wrong, it is nowhere. */
function lessonOf({ lesson }: DrillFile, rig: Rig, { locate, problems }: Source): Lesson | null {
  if (lesson === undefined) return null;
  const path = ['lesson', 'solution', 'where'];
  const { causes, where } = lesson.solution;
  const known = partsOf(rig).map(({ id }) => id);
  where.forEach((part, index) => {
    if (known.includes(part)) return;
    problems.push(locate([...path, index], `there is no "${part}"; ${suggestion(part, known)}`));
  });
  const isNowhere = where.length === 0;
  if (causes.includes('none') !== isNowhere) {
    const advice = isNowhere
      ? `takes a part at least: ${known.join(', ')}`
      : 'takes [] where nothing is wrong';
    problems.push(locate(path, advice));
  }
  return lesson;
}

/** A long condition may be folded over lines of the file. */
function oneLine(text: string): string {
  return text.trim().replace(/\s+/gu, ' ');
}

/** null, and reported, where the text is no condition of this rig. */
function expressionOf(written: string, path: Path, rig: Rig, source: Source): Expression | null {
  const parsed = parseExpression(written, rig);
  if (parsed.ok) return parsed.expression;
  const spot = source.locate(path, parsed.problem);
  source.problems.push({
    ...spot,
    column: spot.column + columnsTo(parsed.offset, written, spot, source.text),
  });
  return null;
}

/**
 * How far right of a scalar's start a place in it stands. Zero where it is not written in one piece (folded
 * over lines, with escapes, or an alias): then its start is the nearest place that is sure.
 */
function columnsTo(offset: number, written: string, { line, column }: FileProblem, text: string): number {
  const source = text.split('\n')[line - 1]?.slice(column - 1) ?? '';
  if (source.startsWith(written)) return offset;
  return source.startsWith(`'${written}'`) || source.startsWith(`"${written}"`) ? offset + 1 : 0;
}
