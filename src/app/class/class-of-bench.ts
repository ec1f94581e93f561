/** A class at a bench that has a world: where its field view comes from, and what its switches do. */
import type { LiveWorld } from '../../../sim/world/index.ts';
import type { BenchPort } from '../../api/bench-port.ts';
import type { BenchClock } from '../../clock/index.ts';
import { partsOf } from '../../lesson/index.ts';
import type { EventRecord } from '../../record/index.ts';
import type { Rig } from '../../rig/index.ts';
import type { SupervisorHost } from '../supervisor-host.ts';
import { benchLessons, type LessonBench } from './bench-lessons.ts';
import { ClassRoom } from './class-room.ts';
import { fieldView } from './field-view.ts';

export interface ClassParts {
  readonly rig: Rig;
  readonly world: LiveWorld;
  /** null where the controller runs elsewhere. */
  readonly supervisor: SupervisorHost | null;
  readonly clock: BenchClock;
  readonly record: EventRecord;
  readonly bench: Pick<BenchPort, 'applyStep'> & LessonBench;
}

export function classOfBench(parts: ClassParts): ClassRoom {
  const { rig, world, supervisor, clock, record, bench } = parts;
  const field = (): ReturnType<typeof fieldView> =>
    fieldView({
      rig,
      site: world.site(),
      display: supervisor === null ? 'elsewhere' : supervisor.snapshot(),
      clock: { nowMs: clock.now(), speed: clock.speed(), paused: clock.paused() },
    });
  return new ClassRoom(
    {
      parts: partsOf(rig),
      now: () => clock.now(),
      tell: (fact) => void record.append([fact]),
      field,
      switchedOn: (sensor) => world.site().sensors.find(({ id }) => id === sensor)?.switchedOn,
      flip: (to, on) => bench.applyStep({ power: on ? { to, restored: true } : { to, cut: 'stays' } }),
    },
    benchLessons(bench),
  );
}
