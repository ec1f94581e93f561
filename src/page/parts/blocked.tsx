/**
 * Why a control cannot be used now, in a word. A refusal is the control's own and stands on it; a lost
 * connection concerns all of them, so it is shown once at their head and only heard on each.
 */
import type { Store } from '../data/store.ts';
import { T } from '../texts/index.ts';

export type Block = 'no connection' | 'refused' | null;

export function blockOf(store: Store, control: string): Block {
  if (store.link.value !== 'live') return 'no connection';
  return store.refusals.all.value.has(control) ? 'refused' : null;
}

export function Blocked({ block }: { readonly block: Block }) {
  if (block === null) return null;
  if (block === 'refused') return <span class="blocked"> ({T.refused})</span>;
  return <span class="only-heard"> ({T.noConnection})</span>;
}
