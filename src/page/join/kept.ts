/** What outlives a reload of the page, and no more than the browser's tab: a seat's key, and a draft. */
import { ifAllowed } from '../data/storage.ts';
import type { Draft } from './draft.ts';

const KEY = 'leakbench.seat';
const DRAFT = 'leakbench.draft';

export const keptKey = (): string | null => ifAllowed(() => sessionStorage.getItem(KEY));

export function keepKey(key: string | null): void {
  ifAllowed(() => {
    if (key === null) sessionStorage.removeItem(KEY);
    else sessionStorage.setItem(KEY, key);
  });
}

/** A draft belongs to the lesson of this title. */
export function keptDraft(title: string): Draft | null {
  return ifAllowed(() => {
    const found = JSON.parse(sessionStorage.getItem(DRAFT) ?? 'null') as null | {
      readonly title: string;
      readonly draft: Draft;
    };
    return found !== null && found.title === title ? found.draft : null;
  });
}

export function keepDraft(title: string, draft: Draft | null): void {
  ifAllowed(() => {
    if (draft === null) sessionStorage.removeItem(DRAFT);
    else sessionStorage.setItem(DRAFT, JSON.stringify({ title, draft }));
  });
}
