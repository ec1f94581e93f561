/** What the bench computes, in sentences that text and sheet share. */
import { amount, amountText } from '../../figures/index.ts';
import type { Rig } from '../../rig/index.ts';
import { formatDuration } from '../../units/index.ts';
import { type BenchCourse, LEAK_MS, type PlaceCourse } from './bench-courses.ts';
import type { FiguresResult } from './result.ts';
import { stepResponses } from './step-response.ts';

const S_PER_H = 3600;

export const BENCH_TITLE = 'What the bench computes for the same case';

export function benchAbout({ rig, the, units }: FiguresResult): string {
  const { fan } = rig;
  const flow = amountText(amount(fan.airflowM3PerS * S_PER_H, 'airflow'), units);
  const chosen = the.airflowM3PerH === null ? ' (60 · m / LFL, since none was told)' : '';
  return (
    `The charge of one circuit leaks into the cabinet in ${formatDuration(LEAK_MS)}; the fan stands still all the ` +
    `while, or moves ${flow} from the start${chosen}. Well-mixed air: peaks near the floor and the leak are higher than this.`
  );
}

export interface BenchFact {
  readonly name: string;
  readonly value: string;
}

export function benchFacts(
  { places, sensors, clearAtMs }: BenchCourse,
  { rig }: FiguresResult,
): readonly BenchFact[] {
  const clear = `${Number(rig.policy.clearBelow.toFixed(1))} %LFL`;
  return [
    ...sensors.map(({ id, quarterAtMs }) => ({
      name: `25 %LFL in the reading of ${id}`,
      value: quarterAtMs === null ? 'never' : `after ${exact(quarterAtMs)}`,
    })),
    ...differing(places).map(({ place, peak }) => ({
      name: `peak in ${placeName(place, places)}`,
      value: `${Number(peak.value.toPrecision(4))} %LFL after ${formatDuration(peak.atMs)}`,
    })),
    {
      name: `below ${clear} everywhere, to stay`,
      value: clearAtMs === null ? 'not within a day' : `after ${exact(clearAtMs)}`,
    },
  ];
}

export const STEP_TITLE =
  'A step of test gas at each sensor, its reading watched (t50, t90: IEC 60079-29-1, second hand)';

export function stepFacts(rig: Rig): readonly BenchFact[] {
  return stepResponses(rig).map(({ id, t50Ms, t90Ms }) => ({
    name: id,
    value: `half of it after ${exact(t50Ms)} (t50), 90 % after ${exact(t90Ms)} (t90)`,
  }));
}

/** "12.345 s", "14 min 35.471 s": the millisecond is found, so it is shown. */
function exact(atMs: number): string {
  const [minutes, seconds] = [Math.floor(atMs / 60_000), (atMs % 60_000) / 1000];
  return minutes === 0 ? `${seconds} s` : `${minutes} min ${Number(seconds.toFixed(3))} s`;
}

/** Low and high are one where the room is one well-mixed air. */
export function differing(places: readonly PlaceCourse[]): readonly PlaceCourse[] {
  return places.filter((one) => one.place !== 'room-high' || !isOneRoom(places));
}

export function placeName(place: PlaceCourse['place'], places: readonly PlaceCourse[]): string {
  return place === 'room-low' && isOneRoom(places) ? 'the room' : `the ${place.replace('-', ', ')}`;
}

function isOneRoom(places: readonly PlaceCourse[]): boolean {
  const [low, high] = ['room-low', 'room-high'].map((name) => places.find(({ place }) => place === name));
  return low?.truth.every(({ value }, index) => value === high?.truth[index]?.value) ?? false;
}
