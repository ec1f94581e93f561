/** The shipped lessons, as tests take them: by the number of their case. */
import { type Drill, shippedDrills } from '../../sim/drill/index.ts';
import type { WorldPicture } from '../../sim/world/index.ts';
import type { Lesson } from '../../src/lesson/index.ts';
import { demoRig } from './demo.ts';

interface Case {
  readonly id: string;
  readonly drill: Drill;
  readonly lesson: Lesson;
}

const DRILLS = await shippedDrills(demoRig());

export const CASES: readonly Case[] = DRILLS.flatMap(({ id, written, outcome }) => {
  if (written.lesson === undefined) return [];
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return [{ id, drill: outcome.value, lesson: written.lesson }];
});

export function caseOf(id: string): Case {
  const found = CASES.find((one) => one.id === id);
  if (found === undefined) throw new Error(`no lesson ${id}`);
  return found;
}

/** Of all that the notes say, the numbers at the brackets of a pattern; each must be said. */
export function numbersIn(id: string, pattern: RegExp): readonly number[] {
  const { shows, teach, safeNextStep } = caseOf(id).lesson;
  const found = pattern.exec([shows, ...teach, safeNextStep].join('\n'));
  if (found === null) throw new Error(`${id} does not say ${pattern.source}`);
  return found.slice(1).map(Number);
}

/** The colours of the lamps, in the order of the rig. */
export function lamps({ sensors }: WorldPicture): readonly string[] {
  return Object.values(sensors).flatMap(({ lamp }) => (lamp === null ? [] : [lamp.colour]));
}

/** What every start says first. */
export const SELF_TESTS = [
  'coil-a has not yet passed its self-test',
  'coil-b has not yet passed its self-test',
];
