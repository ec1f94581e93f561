/** The block `lesson:` of a drill file: what it means, and what a person reads who wrote it wrong. */
import { describe, expect, test } from 'vitest';
import { drillOf, LESSON, load, SMALLEST } from './drill-text.ts';

const problemsOf = (change: (text: string) => string): readonly string[] =>
  load(SMALLEST + change(LESSON)).problems;
const instead = (old: string, written: string) => problemsOf((text) => text.replace(old, written));

test('a drill without the block is no lesson', () => {
  expect(drillOf(SMALLEST).lesson).toBeNull();
});

test('the block means what it says', () => {
  expect(drillOf(SMALLEST + LESSON).lesson).toEqual({
    title: 'The quiet case',
    solution: {
      causes: ['no-airflow'],
      where: ['fan'],
      next: ['find-airflow'],
      restart: ['after-mending'],
    },
    shows: 'The fan does not turn.',
    teach: ['A fan that is commanded is not yet air.', 'The airflow switch tells.'],
    safeNextStep: 'Lock out.',
  });
});

test.each([
  'room',
  'cabinet',
  'coil-b',
  'grille',
  'line main',
  'controller',
  'fan',
  'airflow',
  'compressor.b',
])('%s is a part of the demo rig', (part) => {
  expect(instead('[fan]', `[${part}]`)).toEqual([]);
});

test('nothing wrong is nowhere', () => {
  expect(instead('[no-airflow], where: [fan]', '[none], where: []')).toEqual([]);
});

describe('a lesson with a mistake is told where and what to write', () => {
  test.each([
    [
      '[no-airflow]',
      '[no-airflw]',
      '7:24: lesson.solution.causes[0]: there is no cause "no-airflw"; did you mean "no-airflow"?',
    ],
    ['[no-airflow]', '[]', '7:23: lesson.solution.causes: takes one cause at least, such as [none]'],
    ['[no-airflow]', 'no-airflow', '7:23: lesson.solution.causes: takes a list such as [none]'],
    ['[no-airflow]', '[7]', '7:24: lesson.solution.causes[0]: takes the name of a cause, such as none'],
    ['[no-airflow]', '[leak, leak]', '7:23: lesson.solution.causes: names a cause twice; write each once'],
    [
      '[no-airflow]',
      '[none, leak]',
      '7:23: lesson.solution.causes: "none" stands alone: leave it out where something is wrong',
    ],
    ['[fan]', '[fan, fan]', '7:44: lesson.solution.where: names a part twice; write each once'],
    [
      '[fan]',
      '[fan, coil-c]',
      '7:50: lesson.solution.where[1]: there is no "coil-c"; did you mean "coil-a"?',
    ],
    [
      '[fan]',
      '[compressor.c]',
      '7:45: lesson.solution.where[0]: there is no "compressor.c"; did you mean "compressor.a"?',
    ],
    [
      '[fan]',
      '[line maine]',
      '7:45: lesson.solution.where[0]: there is no "line maine"; did you mean "line main"?',
    ],
    [
      '[fan]',
      '[]',
      '7:44: lesson.solution.where: takes a part at least: coil-a, coil-b, grille, line main, controller, fan, airflow, compressor.a, compressor.b, cabinet, room',
    ],
    ['[fan]', 'fan', '7:44: lesson.solution.where: takes a list such as [fan], or [] where nothing is wrong'],
    ['[fan]', '[7]', '7:45: lesson.solution.where[0]: takes the name of a part of the rig, such as fan'],
    ['[no-airflow]', '[none]', '7:38: lesson.solution.where: takes [] where nothing is wrong'],
    [
      '[find-airflow]',
      '[find-leek]',
      '7:58: lesson.solution.next[0]: there is no next step "find-leek"; did you mean "find-leak"?',
    ],
    [
      '[after-mending]',
      '[afterwards]',
      '7:83: lesson.solution.restart[0]: there is no answer to the restart "afterwards"; it takes runs, by-itself, after-mending',
    ],
    ['The quiet case', 'T'.repeat(61), '6:10: lesson.title: takes at most 60 characters'],
    ['The quiet case', '', '6:10: lesson.title: takes a title for the class, which gives nothing away'],
    [
      '  shows: The fan does not turn.\n',
      '',
      '6:3: lesson.shows: is missing; it takes a text: what eyes, a meter and a portable reader find',
    ],
    [
      '  safeNextStep: Lock out.\n',
      '',
      '6:3: lesson.safeNextStep: is missing; it takes a text: what is safe to do next',
    ],
    [
      '  safeNextStep',
      '  safeNextStp: x\n  safeNextStep',
      '12:3: lesson: "safeNextStp" is not known here; did you mean "safeNextStep"?',
    ],
    [
      'teach:\n    - A fan that is commanded is not yet air.\n    - The airflow switch tells.',
      'teach: []',
      '9:10: lesson.teach: takes one paragraph at least',
    ],
    ['    - The airflow switch tells.', '    -', '11:6: lesson.teach[1]: takes a paragraph'],
  ])('%s → %s', (old, written, problem) => {
    expect(LESSON).toContain(old);
    expect(instead(old, written)).toEqual([problem]);
  });

  test('every mistake of a lesson is told at once, in the order of the file', () => {
    const lesson = LESSON.replace('[fan]', '[fn, controler]');
    expect(load(`${SMALLEST}steps: [{ at: 20 min, fire: on }]\n${lesson}`).problems).toEqual([
      expect.stringMatching(/^5:15: steps\[0\]\.at: /u),
      expect.stringMatching(/^8:45: .*did you mean "fan"\?$/u),
      expect.stringMatching(/^8:49: .*did you mean "controller"\?$/u),
    ]);
  });
});
