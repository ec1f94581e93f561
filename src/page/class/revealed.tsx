/** After the reveal: what was right, what the class said, why, and the way to the ring. */
import { CAUSES, SCORE_MAX, type Station } from '../../lesson/index.ts';
import { hrefOf } from '../data/view.ts';
import { useStore } from '../parts/use-store.ts';
import { C } from '../texts/class.ts';
import { Bars } from './bars.tsx';
import { classMean } from './mean.ts';
import { Right } from './running.tsx';
import { Teaching } from './told.tsx';
import type { ClassLesson, ClassView } from './types.ts';

interface RevealedProps {
  readonly room: ClassView;
  readonly lesson: ClassLesson;
}

export function Revealed({ room, lesson }: RevealedProps) {
  const { light, opensSinceMs } = useStore();
  const stations = stationsOf(lesson);
  const points = classMean(room.seats);
  return (
    <div class="revealed">
      <header class="lesson-title">
        <p class="quiet">{C.revealed}</p>
        <h2>{lesson.title}</h2>
        <p>{lesson.name}</p>
      </header>
      <div class="revealed-told">
        <Right lesson={lesson} />
        <div class="on-ring">
          <button
            type="button"
            class="main-act"
            onClick={() => {
              light(stations);
              opensSinceMs.value = lesson.beganAtMs;
              location.hash = hrefOf('bench');
            }}
          >
            {C.onRing}
          </button>
          <p class="quiet">{C.onRingSays}</p>
        </div>
        <Teaching told={lesson} />
      </div>
      <div class="revealed-said">
        <Bars seats={room.seats} lesson={lesson} />
        {points !== null && <p>{C.mean(points.mean.toFixed(1), SCORE_MAX, points.silent)}</p>}
      </div>
    </div>
  );
}

function stationsOf({ solution }: ClassLesson): readonly Station[] {
  const stations = solution.causes.map((cause) => CAUSES[cause].station);
  return [...new Set(stations.filter((station) => station !== null))];
}
