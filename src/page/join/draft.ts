/** An answer in the making: not all four questions need be answered yet. */
import type { Answer, CauseId, NextStepId, RestartId } from '../../lesson/index.ts';

export interface Draft {
  readonly causes: readonly CauseId[];
  readonly where: readonly string[];
  readonly next: NextStepId | null;
  readonly restart: RestartId | null;
}

export type OpenQuestion = 'causes' | 'next' | 'restart';

export const EMPTY: Draft = { causes: [], where: [], next: null, restart: null };

/** The first question that is still open; where nothing is wrong, no part has it. */
export function openQuestion(draft: Draft): OpenQuestion | null {
  if (draft.causes.length === 0) return 'causes';
  if (draft.next === null) return 'next';
  return draft.restart === null ? 'restart' : null;
}

export function asAnswer({ causes, where, next, restart }: Draft): Answer | null {
  return next === null || restart === null ? null : { causes, where, next, restart };
}

/** Nothing wrong and something wrong exclude each other: the last one said stands. */
export function withCause(draft: Draft, cause: CauseId, chosen: boolean): Draft {
  if (!chosen) return { ...draft, causes: draft.causes.filter((one) => one !== cause) };
  if (cause === 'none') return { ...draft, causes: ['none'] };
  return { ...draft, causes: [...draft.causes.filter((one) => one !== 'none'), cause] };
}

export function withPart(draft: Draft, part: string, chosen: boolean): Draft {
  const others = draft.where.filter((one) => one !== part);
  return { ...draft, where: chosen ? [...others, part] : others };
}

export function isSame(draft: Draft, answer: Answer): boolean {
  return (
    sameSet(draft.causes, answer.causes) &&
    sameSet(draft.where, answer.where) &&
    draft.next === answer.next &&
    draft.restart === answer.restart
  );
}

function sameSet(some: readonly string[], others: readonly string[]): boolean {
  return some.length === others.length && some.every((one) => others.includes(one));
}
