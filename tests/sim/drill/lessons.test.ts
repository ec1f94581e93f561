/** The shipped lessons: fit for the demo rig, told in full, and nothing in a title that gives one away. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { RULE_IDS } from '../../../sim/judge/rules.ts';
import { packageRoot } from '../../../src/files/index.ts';
import { CAUSES, NEXT_STEPS, partsOf, SCORE_MAX, scoreOf } from '../../../src/lesson/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { CASES } from '../../helpers/lessons.ts';
import { builtIn } from '../../mutants/judged.ts';

const EACH = CASES.map((one) => [one.id, one] as const);
const MS_PER_MIN = 60_000;
const RIG = demoRig();

/** Words with a meaning: those of three letters and fewer only join others. */
function wordsOf(text: string): readonly string[] {
  return text
    .toLowerCase()
    .split(/[^a-z]+/u)
    .filter((word) => word.length > 3 || word === 'fan' || word === 'gas');
}

/** Every word by which a cause, its remedy or a part is called, of this lesson or any other. */
const GIVING_AWAY = new Set(
  [
    ...Object.entries(CAUSES).flatMap(([id, { words, station }]) => [id, words, station ?? '']),
    ...Object.values(NEXT_STEPS),
    ...partsOf(RIG).flatMap(({ id, words }) => [id, words]),
    'alarm trouble lamp contact meter reader number hold trip fault',
  ].flatMap(wordsOf),
);

test('there are twelve, numbered as they are taught', () => {
  expect(CASES.map(({ lesson }) => /^Case (\d+): /u.exec(lesson.title)?.[1])).toEqual(
    CASES.map((_, index) => String(index + 1)),
  );
  expect(CASES.map(({ id }) => id.slice(0, 8))).toEqual(
    CASES.map((_, index) => `case-${String(index + 1).padStart(2, '0')}-`),
  );
  expect(CASES).toHaveLength(12);
});

test('the list of words that give something away knows some', () => {
  expect(wordsOf('Case 3: the Leak at Coil-A, no airflow')).toEqual(['case', 'leak', 'coil', 'airflow']);
  for (const word of ['leak', 'silent', 'supply', 'fan', 'airflow', 'compressor', 'line', 'addresses', 'gas'])
    expect(GIVING_AWAY).toContain(word);
});

describe.each(EACH)('%s', (_, { drill, lesson }) => {
  test('is for the demo rig, and under 12 minutes', () => {
    expect(drill.rig.name).toBe(RIG.name);
    expect(drill.lengthMs).toBeLessThan(12 * MS_PER_MIN);
  });

  test('has a title that gives nothing away', () => {
    expect(wordsOf(lesson.title).filter((word) => GIVING_AWAY.has(word))).toEqual([]);
  });

  test('tells the instructor why, what is seen, what not to fall for and what is safe', () => {
    expect(drill.why).toMatch(/^[A-Z].{30,}\.$/u);
    expect(lesson.shows).toMatch(/lamp/u);
    expect(lesson.shows).toMatch(/portable reader/u);
    expect(lesson.teach.length).toBeGreaterThanOrEqual(3);
    expect(lesson.teach.filter((paragraph) => paragraph.startsWith('Common wrong diagnosis: '))).toHaveLength(
      1,
    );
    expect(
      [lesson.shows, ...lesson.teach, lesson.safeNextStep].filter((text) => !text.endsWith('.')),
    ).toEqual([]);
    // Whatever is wrong, nobody works on it before it is locked out or proved to be nothing.
    const isWrong = lesson.solution.causes[0] !== 'none' && lesson.solution.causes[0] !== 'other-gas';
    expect(/lock out/iu.test(lesson.safeNextStep)).toBe(isWrong);
  });

  test('says whose the claims are that it rests on, or that they are nobody’s', () => {
    expect(lesson.teach.join('\n')).toMatch(/common practice, no source|\bseen\)|from memory/u);
  });

  test('can be answered rightly by what is among the choices', () => {
    const { causes, where, next, restart } = lesson.solution;
    for (const step of next)
      for (const again of restart)
        expect(scoreOf({ causes, where, next: step, restart: again }, lesson.solution).total).toBe(SCORE_MAX);
  });

  test('is judged by every rule and by what it expects, and held by the built-in supervisor', () => {
    expect(drill.rules).toEqual(RULE_IDS);
    expect(drill.expectations.length).toBeGreaterThan(0);
    expect(builtIn(drill).complaints).toEqual([]);
  });
});

test('between them they know most causes, and no two have the same solution', () => {
  const causes = new Set(CASES.flatMap(({ lesson }) => lesson.solution.causes));
  expect(causes.size).toBeGreaterThanOrEqual(11);
  const solutions = CASES.filter(({ lesson }) => lesson.solution.causes.join() !== 'leak').map(({ lesson }) =>
    JSON.stringify([lesson.solution.causes, lesson.solution.where]),
  );
  expect(new Set(solutions).size).toBe(solutions.length);
});

test('the guide lists them as they are', () => {
  const guide = readFileSync(join(packageRoot(), 'src/guides/instructor.md'), 'utf8');
  const section = /## The lessons\n([\s\S]*?)\n## /u.exec(guide)?.[1] ?? '';
  const rows = section
    .split('\n')
    .filter((line) => line.startsWith('| [`'))
    .map((line) =>
      line
        .split('|')
        .slice(1, -1)
        .map((cell) => cell.trim()),
    );
  expect(rows).toEqual(
    CASES.map(({ id, drill, lesson }) => [
      `[\`${id}\`](../../sim/drill/lessons/${id}.drill.yaml)`,
      lesson.title,
      drill.name,
      String(Math.ceil(drill.lengthMs / MS_PER_MIN)),
    ]),
  );
});
