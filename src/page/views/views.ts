/**
 * The views of the page, a row each. The bench is there at once; the others come when they are asked for, so
 * that the first load stays small.
 */
import type { ComponentType } from 'preact';
import { VIEW_WORDS, type ViewId } from '../texts/index.ts';

interface View {
  readonly id: ViewId;
  readonly word: string;
  /** null: part of the first load. */
  readonly load: (() => Promise<ComponentType>) | null;
}

export const VIEWS = [
  row('bench', null),
  row('drills', async () => (await import('../drills/drills.tsx')).Drills),
  row('polls', async () => (await import('../polls/polls.tsx')).Polls),
  row('about', async () => (await import('../parts/about-rig.tsx')).AboutRig),
] as const;

export const VIEW_IDS = VIEWS.map(({ id }) => id) as [ViewId, ...ViewId[]];

function row(id: ViewId, load: View['load']): View {
  return { id, word: VIEW_WORDS[id], load };
}
