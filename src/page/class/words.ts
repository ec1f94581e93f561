/** An answer in words, and how right each of its four parts is. */
import { type Answer, CAUSES, NEXT_STEPS, RESTARTS, type Score, type Solution } from '../../lesson/index.ts';
import type { Questions } from './types.ts';

export type Verdict = 'right' | 'half' | 'wrong' | 'none';
export type QuestionId = 'causes' | 'where' | 'next' | 'restart';
export const QUESTION_IDS: readonly QuestionId[] = ['causes', 'where', 'next', 'restart'];

export function verdictOf(answer: Answer | null, score: Score | null, question: QuestionId): Verdict {
  if (answer === null || score === null) return 'none';
  if (score[question] === 1) return 'right';
  return score[question] > 0 ? 'half' : 'wrong';
}

/** What was chosen at a question, as ids. */
export function chosenAt(answer: Answer, question: QuestionId): readonly string[] {
  const given = answer[question];
  return typeof given === 'string' ? [given] : given;
}

export function rightAt(solution: Solution, question: QuestionId): readonly string[] {
  return solution[question];
}

const WORDS: Readonly<
  Record<Exclude<QuestionId, 'where'>, Readonly<Record<string, string | { readonly words: string }>>>
> = { causes: CAUSES, next: NEXT_STEPS, restart: RESTARTS };

/** The sentence behind an id of a question. */
export function wordsAt(question: QuestionId, id: string, { parts }: Questions): string {
  const found = question === 'where' ? parts.find((part) => part.id === id) : WORDS[question][id];
  return typeof found === 'string' ? found : (found?.words ?? id);
}

/** Those behind several, on one line. */
export function listAt(question: QuestionId, ids: readonly string[], questions: Questions): string {
  return ids.map((id) => wordsAt(question, id, questions)).join('; ');
}
