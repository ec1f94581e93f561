/** A deed that begins with a fresh start: it asks first while what was done by hand is in no file. */
import type { Store } from '../data/store.ts';
import { unsavedSteps } from '../data/unsaved.ts';
import { Sure } from '../parts/sure.tsx';
import { R } from '../texts/index.ts';

type FreshStartProps = Omit<Parameters<typeof Sure>[0], 'question'> & {
  /** Something is missing, so that nothing would begin: that is said first. */
  readonly isUnready?: boolean;
};

export function FreshStart({ isUnready, ...rest }: FreshStartProps) {
  return <Sure {...rest} question={isUnready === true ? nothingLost : lossOf} />;
}

function nothingLost(): Promise<null> {
  return Promise.resolve(null);
}

async function lossOf({ api }: Store): Promise<string | null> {
  const steps = await unsavedSteps(api);
  return steps === 0 ? null : R.unsaved(steps);
}
