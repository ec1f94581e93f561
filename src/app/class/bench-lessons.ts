/** The lessons that come with the bench, those of its drills that teach, and one's own; played in place. */
import { LESSON_KEYS, misfitOf, type ShippedDrill } from '../../../sim/drill/index.ts';
import type { DrillPort } from '../../api/bench-port.ts';
import type { NotDone } from '../../api/class-port.ts';
import type { ClassLesson } from '../../class/index.ts';
import type { Lesson } from '../../lesson/index.ts';
import { listed } from '../../text/words.ts';
import type { Playable } from '../drill/shelf.ts';
import { type LessonBook, type LessonFound, type LessonRow, NO_SUCH_LESSON } from './lesson-book.ts';

export interface LessonBench extends Pick<DrillPort, 'playDrill' | 'stopDrill'> {
  lessons(): Promise<readonly ShippedDrill[]>;
  /** The drill on the rig of the bench, or why it cannot be played there. */
  findDrill(wanted: { readonly text: string }): Promise<Playable | string>;
}

const MS_PER_MINUTE = 60_000;
const NO_LESSON: NotDone = {
  ok: false,
  problem: `This drill is no lesson: add a block lesson: with ${listed(LESSON_KEYS)}, as the shipped lessons have one, or play it under Drills.`,
};

export function benchLessons(bench: LessonBench): LessonBook {
  return {
    async list() {
      const drills = await bench.lessons();
      return drills.flatMap(rowsOf);
    },
    async get(wanted) {
      if ('text' in wanted) return given(await bench.findDrill(wanted));
      const drills = await bench.lessons();
      const drill = drills.find(({ id }) => id === wanted.id);
      const lesson = drill === undefined ? null : lessonIn(drill.written, drill.id);
      return lesson === null ? NO_SUCH_LESSON : { ok: true, lesson };
    },
    async play(wanted) {
      const played = await bench.playDrill(wanted);
      return played.ok ? null : played.problem;
    },
    stop: () => void bench.stopDrill(),
  };
}

function given(found: Playable | string): LessonFound | NotDone {
  if (typeof found === 'string') return { ok: false, problem: found };
  const lesson = lessonIn(found.drill, null);
  return lesson === null ? NO_LESSON : { ok: true, lesson };
}

function rowsOf(drill: ShippedDrill): readonly LessonRow[] {
  const { id } = drill;
  const lesson = lessonIn(drill.written, id);
  if (lesson === null) return [];
  const { title, name, why } = lesson;
  const minutes = Math.ceil(drill.written.length / MS_PER_MINUTE);
  return [{ id, title, name, why, minutes, fits: misfitOf(drill) }];
}

/** A drill as it was written, or as it is played. */
interface MayTeach {
  readonly name: string;
  readonly why: string;
  readonly lesson?: Lesson | null | undefined;
}

/** null where the drill teaches nothing. */
function lessonIn({ name, why, lesson }: MayTeach, id: string | null): ClassLesson | null {
  return lesson ? { ...lesson, id, name, why } : null;
}
