/** Drills: what plays and how it was judged, what was done by hand, and what can be played. */
import { useStore } from '../parts/use-store.ts';
import { H, R } from '../texts/index.ts';
import { DrillList } from './drill-list.tsx';
import { FreshStart } from './fresh-start.tsx';
import { OnNow } from './on-now.tsx';
import { OwnDrill } from './own-drill.tsx';
import { Recorded } from './recorded.tsx';

export function Drills() {
  if (useStore().shown.snapshot.value?.world === null) return <p class="elsewhere">{R.elsewhere}</p>;
  return (
    <div class="drills">
      <header class="view-head">
        <h2>{R.title}</h2>
        <p class="quiet">{R.says}</p>
        <div class="view-hands">
          <FreshStart name="restart" word={H.restart} ask={({ api }) => api.restart()} />
          <span class="quiet">{H.restartSays}</span>
        </div>
      </header>
      <OnNow />
      <div class="drills-beside">
        <Recorded />
        <OwnDrill />
      </div>
      <DrillList />
    </div>
  );
}
