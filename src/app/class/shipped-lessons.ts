/** The lessons that come with the bench, those of its drills that teach, played in place. */
import { misfitOf, type ShippedDrill } from '../../../sim/drill/index.ts';
import type { DrillPort } from '../../api/bench-port.ts';
import type { ClassLesson } from '../../class/index.ts';
import type { LessonBook, LessonRow } from './lesson-book.ts';

export interface LessonBench extends Pick<DrillPort, 'playDrill' | 'stopDrill'> {
  lessons(): Promise<readonly ShippedDrill[]>;
}

const MS_PER_MINUTE = 60_000;

export function shippedLessons(bench: LessonBench): LessonBook {
  return {
    async list() {
      const drills = await bench.lessons();
      return drills.flatMap(rowsOf);
    },
    async get(id) {
      const drills = await bench.lessons();
      return drills.filter((drill) => drill.id === id).map(lessonOf)[0] ?? null;
    },
    async play(id) {
      const played = await bench.playDrill({ id });
      return played.ok ? null : played.problem;
    },
    stop: () => void bench.stopDrill(),
  };
}

function rowsOf(drill: ShippedDrill): readonly LessonRow[] {
  const lesson = lessonOf(drill);
  if (lesson === null) return [];
  const { id, title, name, why } = lesson;
  const minutes = Math.ceil(drill.written.length / MS_PER_MINUTE);
  return [{ id, title, name, why, minutes, fits: misfitOf(drill) }];
}

/** null where the drill teaches nothing. */
function lessonOf({ id, written }: ShippedDrill): ClassLesson | null {
  const { name, why, lesson } = written;
  return lesson === undefined ? null : { ...lesson, id, name, why };
}
