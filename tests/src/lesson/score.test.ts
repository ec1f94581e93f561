/** What an answer is worth, by table; and that the words a class chooses from are fit to be chosen from. */
import { describe, expect, test } from 'vitest';
import {
  type Answer,
  CAUSE_IDS,
  CAUSES,
  NEXT_STEP_IDS,
  NEXT_STEPS,
  partsOf,
  RESTART_IDS,
  RESTARTS,
  SCORE_MAX,
  type Solution,
  scoreOf,
} from '../../../src/lesson/index.ts';
import { demoRig } from '../../helpers/demo.ts';

/** Two causes at two places, and more than one right next step. */
const SOLUTION: Solution = {
  causes: ['leak', 'sensor-silent'],
  where: ['cabinet', 'coil-b'],
  next: ['ventilate', 'find-leak'],
  restart: ['after-mending'],
};
const RIGHT: Answer = {
  causes: ['leak', 'sensor-silent'],
  where: ['cabinet', 'coil-b'],
  next: 'ventilate',
  restart: 'after-mending',
};
const NORMAL: Solution = { causes: ['none'], where: [], next: ['leave-it'], restart: ['runs'] };

describe('an answer is worth a point for each of four questions', () => {
  test.each<[string, Partial<Answer>, { causes: number; where: number; next: number; restart: number }]>([
    ['all right', {}, { causes: 1, where: 1, next: 1, restart: 1 }],
    [
      'right in another order',
      { causes: ['sensor-silent', 'leak'] },
      { causes: 1, where: 1, next: 1, restart: 1 },
    ],
    ['the other right step', { next: 'find-leak' }, { causes: 1, where: 1, next: 1, restart: 1 }],
    ['one of two causes', { causes: ['leak'] }, { causes: 0.5, where: 1, next: 1, restart: 1 }],
    [
      'one of two causes, named twice',
      { causes: ['leak', 'leak'] },
      { causes: 0.5, where: 1, next: 1, restart: 1 },
    ],
    [
      'both causes and a wrong one',
      { causes: ['leak', 'sensor-silent', 'other-gas'] },
      { causes: 0, where: 1, next: 1, restart: 1 },
    ],
    ['a wrong cause alone', { causes: ['none'] }, { causes: 0, where: 1, next: 1, restart: 1 }],
    ['no cause', { causes: [] }, { causes: 0, where: 1, next: 1, restart: 1 }],
    ['one of two places', { where: ['coil-b'] }, { causes: 1, where: 0.5, next: 1, restart: 1 }],
    [
      'a right place and a wrong one',
      { where: ['coil-b', 'coil-a'] },
      { causes: 1, where: 0, next: 1, restart: 1 },
    ],
    ['nowhere', { where: [] }, { causes: 1, where: 0, next: 1, restart: 1 }],
    ['a wrong step', { next: 'replace-sensor' }, { causes: 1, where: 1, next: 0, restart: 1 }],
    ['a restart too soon', { restart: 'by-itself' }, { causes: 1, where: 1, next: 1, restart: 0 }],
    [
      'all wrong',
      { causes: ['none'], where: ['fan'], next: 'leave-it', restart: 'runs' },
      { causes: 0, where: 0, next: 0, restart: 0 },
    ],
  ])('%s', (_, changes, points) => {
    const total = points.causes + points.where + points.next + points.restart;
    expect(scoreOf({ ...RIGHT, ...changes }, SOLUTION)).toEqual({ ...points, total });
  });

  test('where nothing is wrong, naming no place is right, and naming one is not', () => {
    const answer: Answer = { causes: ['none'], where: [], next: 'leave-it', restart: 'runs' };
    expect(scoreOf(answer, NORMAL)).toMatchObject({ where: 1, total: SCORE_MAX });
    expect(scoreOf({ ...answer, where: ['fan'] }, NORMAL)).toMatchObject({ where: 0, total: SCORE_MAX - 1 });
  });
});

describe('what a class chooses from', () => {
  const words = [
    ...Object.values(CAUSES).map((row) => row.words),
    ...Object.values(NEXT_STEPS),
    ...Object.values(RESTARTS),
    ...partsOf(demoRig()).map((part) => part.words),
  ];

  test('has words of its own for every choice', () => {
    expect(words).toHaveLength(CAUSE_IDS.length + NEXT_STEP_IDS.length + RESTART_IDS.length + 11);
    expect(new Set(words).size).toBe(words.length);
  });

  test('lights up a station for every cause but for nothing wrong', () => {
    expect(CAUSE_IDS.filter((id) => CAUSES[id].station === null)).toEqual(['none']);
  });

  test('has every part of the demo rig once', () => {
    expect(partsOf(demoRig()).map(({ id }) => id)).toEqual([
      'coil-a',
      'coil-b',
      'grille',
      'line main',
      'controller',
      'fan',
      'airflow',
      'compressor.a',
      'compressor.b',
      'cabinet',
      'room',
    ]);
  });
});
