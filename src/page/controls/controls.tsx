/** Everything a person can do to the bench. */
import { useStore } from '../parts/use-store.ts';
import { T } from '../texts/index.ts';
import { Calls } from './calls.tsx';
import { OnePart } from './one-part.tsx';
import { Person } from './person.tsx';
import { ReleaseGas } from './release.tsx';

export function Controls() {
  const { rig, shown, link } = useStore();
  if (rig.value === null) return null;
  const elsewhere = shown.snapshot.value !== null && shown.snapshot.value.world === null;
  return (
    <section class="controls" id="controls" aria-labelledby="controls-head" tabIndex={-1}>
      <h2 id="controls-head">
        {T.controls}
        {link.value !== 'live' && <span class="blocked"> ({T.noConnection})</span>}
      </h2>
      {elsewhere ? (
        <p class="elsewhere">{T.elsewhereNote}</p>
      ) : (
        <>
          <Calls />
          <ReleaseGas />
          <OnePart />
          <Person />
        </>
      )}
    </section>
  );
}
