import { describe, expect, it } from 'vitest';
import { type Answer, type Solution, scoreOf } from '../../../../src/lesson/index.ts';
import { chosenAt, QUESTION_IDS, verdictOf, wordsAt } from '../../../../src/page/class/words.ts';

const SOLUTION: Solution = {
  causes: ['leak', 'sensor-silent'],
  where: ['cabinet', 'coil-b'],
  next: ['ventilate', 'find-leak'],
  restart: ['after-mending'],
};
const ANSWER: Answer = { causes: ['leak'], where: ['fan'], next: 'find-leak', restart: 'after-mending' };

describe('an answer in words', () => {
  it('says of each question how right it is, as the points do', () => {
    const score = scoreOf(ANSWER, SOLUTION);
    expect(QUESTION_IDS.map((question) => verdictOf(ANSWER, score, question))).toEqual([
      'half',
      'wrong',
      'right',
      'right',
    ]);
  });

  it('takes no answer for none, and not for a wrong one', () => {
    const score = { causes: 0, where: 0, next: 0, restart: 0, total: 0 };
    expect(verdictOf(null, score, 'causes')).toBe('none');
    expect(verdictOf(ANSWER, null, 'causes')).toBe('none');
  });

  it('has a sentence for whatever can be chosen, and the id for a part that is not on the rig', () => {
    const questions = { parts: [{ id: 'fan', words: 'The fan' }] };
    expect(QUESTION_IDS.map((question) => chosenAt(ANSWER, question))).toEqual([
      ['leak'],
      ['fan'],
      ['find-leak'],
      ['after-mending'],
    ]);
    expect(wordsAt('where', 'fan', questions)).toBe('The fan');
    expect(wordsAt('where', 'coil-z', questions)).toBe('coil-z');
    expect(wordsAt('causes', 'leak', questions)).toBe('Refrigerant is leaking');
  });
});
