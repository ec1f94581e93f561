/** What was done by hand and is in no file yet: a fresh start would lose it. */
import type { Recording } from '../types.ts';
import type { Api } from './api.ts';

type Extent = Pick<Recording, 'fromMs' | 'steps'>;

let saved: Extent | null = null;

export function noteSaved({ fromMs, steps }: Extent): void {
  saved = { fromMs, steps };
}

/** A bench that keeps no recording loses none. */
export async function unsavedSteps(api: Pick<Api, 'recording'>): Promise<number> {
  const got = await api.recording('');
  if (!got.ok) return 0;
  const { fromMs, steps } = got.value;
  return saved?.fromMs === fromMs ? Math.max(0, steps - saved.steps) : steps;
}
