/** The bench itself: the ring, what happened, and the drill that plays. */
import { Guide } from '../controls/guide.tsx';
import { DrillStrip } from '../drills/drill-strip.tsx';
import { EventList } from '../parts/event-list.tsx';
import { Ring } from '../ring/ring.tsx';

export function Bench() {
  return (
    <div class="bench">
      <Guide />
      <DrillStrip />
      <Ring />
      <EventList />
    </div>
  );
}
