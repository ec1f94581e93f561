/**
 * Why a control cannot be used now, in a word. A refusal is the control's own and stands on it; a lost
 * connection and a token that may only look concern all of them, so they are said once at the head of the
 * page and only heard on each.
 */
import type { Store } from '../data/store.ts';
import { T } from '../texts/index.ts';

export type Block = 'no connection' | 'viewer' | 'refused' | null;

export function blockOf(store: Store, control: string): Block {
  if (store.link.value !== 'live') return 'no connection';
  if (store.isViewer.value) return 'viewer';
  return store.refusals.all.value.has(control) ? 'refused' : null;
}

const WORDS: Readonly<Record<NonNullable<Block>, string>> = {
  'no connection': T.noConnection,
  viewer: T.mayLookOnly,
  refused: T.refused,
};

export function Blocked({ block }: { readonly block: Block }) {
  if (block === null) return null;
  return <span class={block === 'refused' ? 'blocked' : 'only-heard'}> ({WORDS[block]})</span>;
}
