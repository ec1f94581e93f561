/** On the bench view: that a drill plays, how far it is, and the way to it. */
import { Act } from '../controls/act.tsx';
import { hrefOf } from '../data/view.ts';
import { Mark } from '../parts/mark.tsx';
import { useStore } from '../parts/use-store.ts';
import { R } from '../texts/index.ts';
import { Progress } from './progress.tsx';

export function DrillStrip() {
  const { shown } = useStore();
  const drill = shown.snapshot.value?.drill ?? null;
  if (drill === null || drill.lesson) return null;
  const { name, state, verdict } = drill;
  return (
    <section class="drill-strip" aria-label={R.onNow}>
      <p>
        {verdict !== null && <Mark kind={verdict === 'held' ? 'good' : 'alarm'} />} <strong>{name}</strong>{' '}
        {verdict === null ? R.states[state] : R.verdicts[verdict].toLowerCase()}
      </p>
      <Progress drill={drill} nowMs={shown.benchNowMs.value} />
      {state === 'playing' && (
        <Act name="stop drill" word={R.stop} weight="small" ask={({ api }) => api.stopDrill()} />
      )}
      <a href={hrefOf('drills')}>{R.toDrills}</a>
    </section>
  );
}
