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
  /** It would give a lesson away. */
  readonly tells: boolean;
}

export const VIEWS = [
  row('bench', null, true),
  row('drills', async () => (await import('../drills/drills.tsx')).Drills, true),
  row('class', async () => (await import('../class/class-room.tsx')).ClassRoom, false),
  row('polls', async () => (await import('../polls/polls.tsx')).Polls, true),
  row('about', async () => (await import('../parts/about-rig.tsx')).AboutRig, false),
] as const;

export const VIEW_IDS = VIEWS.map(({ id }) => id) as [ViewId, ...ViewId[]];

function row(id: ViewId, load: View['load'], tells: boolean): View {
  return { id, word: VIEW_WORDS[id], load, tells };
}
