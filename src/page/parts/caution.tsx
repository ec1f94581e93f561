/** The caution that stays in sight whatever else is shown, and the longer list behind it. */
import { formatClock } from '../../units/format.ts';
import { CAUTION, countdown, PHASES, T } from '../texts/index.ts';
import { Mark } from './mark.tsx';
import { markOfPhase } from './phase-mark.ts';
import { useStore } from './use-store.ts';

export function Caution() {
  const cautions = useStore().rig.value?.cautions ?? [];
  return (
    <aside class="caution" aria-label={T.cautionLabel}>
      <p>{CAUTION}</p>
      {cautions.length > 0 && (
        <details>
          <summary>{T.cautionsMore}</summary>
          <ol>
            {cautions.map((caution) => (
              <li key={caution}>{caution}</li>
            ))}
          </ol>
        </details>
      )}
      <Strip />
    </aside>
  );
}

/** On a narrow page, where the ring is long, the decision of the moment stays in sight with the caution. */
function Strip() {
  const { shown } = useStore();
  const supervisor = shown.snapshot.value?.supervisor;
  if (supervisor === null || supervisor === undefined) return null;
  return (
    <p class="strip" aria-hidden="true">
      <Mark kind={markOfPhase(supervisor)} /> {PHASES[supervisor.state].word}
      {supervisor.holdLeftMs !== null && <span class="figure">{countdown(supervisor.holdLeftMs)}</span>}
      <span class="figure strip-time">{formatClock(shown.benchNowMs.value)}</span>
    </p>
  );
}
