/** The lessons that come with the bench, those of its drills that teach, played in place. */
import { misfitOf, shippedDrills } from '../../../sim/drill/index.ts';
import type { DrillPort } from '../../api/bench-port.ts';
import type { ClassLesson } from '../../class/index.ts';
import type { Rig } from '../../rig/index.ts';
import type { LessonBook, LessonRow } from './lesson-book.ts';

interface Page {
  readonly row: LessonRow;
  readonly lesson: ClassLesson;
}

const MS_PER_MINUTE = 60_000;

export function shippedLessons(rig: Rig, bench: Pick<DrillPort, 'playDrill' | 'stopDrill'>): LessonBook {
  let read: readonly Page[] | null = null;
  // Read when a class first wants them: a bench without a class starts sooner.
  const pages = (): readonly Page[] => {
    read ??= pagesFor(rig);
    return read;
  };
  return {
    list: () => pages().map(({ row }) => row),
    get: (id) => pages().find(({ lesson }) => lesson.id === id)?.lesson ?? null,
    play: async (id) => {
      const played = await bench.playDrill({ id });
      return played.ok ? null : played.problem;
    },
    stop: () => void bench.stopDrill(),
  };
}

function pagesFor(rig: Rig): readonly Page[] {
  return shippedDrills(rig).flatMap((drill) => {
    const { id, written } = drill;
    const { name, why, lesson } = written;
    if (lesson === undefined) return [];
    const minutes = Math.ceil(written.length / MS_PER_MINUTE);
    const row = { id, name, why, title: lesson.title, minutes, fits: misfitOf(drill) };
    return [{ row, lesson: { ...lesson, id, name, why } }];
  });
}
