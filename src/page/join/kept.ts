/** What outlives a reload of the page, and no more than the browser's tab: a seat's key, and a draft. */
import type { Draft } from './draft.ts';

const KEY = 'leakbench.seat';
const DRAFT = 'leakbench.draft';

/** A browser may forbid storage: the seat then lasts as long as the page does. */
function kept<Value>(use: () => Value): Value | null {
  try {
    return use();
  } catch {
    return null;
  }
}

export const keptKey = (): string | null => kept(() => sessionStorage.getItem(KEY));

export function keepKey(key: string | null): void {
  kept(() => {
    if (key === null) sessionStorage.removeItem(KEY);
    else sessionStorage.setItem(KEY, key);
  });
}

/** A draft belongs to the lesson of this title. */
export function keptDraft(title: string): Draft | null {
  return kept(() => {
    const found = JSON.parse(sessionStorage.getItem(DRAFT) ?? 'null') as null | {
      readonly title: string;
      readonly draft: Draft;
    };
    return found !== null && found.title === title ? found.draft : null;
  });
}

export function keepDraft(title: string, draft: Draft | null): void {
  kept(() => {
    if (draft === null) sessionStorage.removeItem(DRAFT);
    else sessionStorage.setItem(DRAFT, JSON.stringify({ title, draft }));
  });
}
