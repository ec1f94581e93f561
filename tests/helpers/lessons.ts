/** The shipped lessons, as tests take them: by the number of their case. */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { type Drill, loadDrill } from '../../sim/drill/index.ts';
import type { WorldPicture } from '../../sim/world/index.ts';
import { packageRoot } from '../../src/files/index.ts';
import type { Lesson } from '../../src/lesson/index.ts';

const FOLDER = join(packageRoot(), 'sim/drill/lessons');

interface Case {
  readonly id: string;
  readonly drill: Drill;
  readonly lesson: Lesson;
}

export const CASES: readonly Case[] = readdirSync(FOLDER)
  .filter((file) => file.endsWith('.drill.yaml'))
  .sort()
  .map((file) => {
    const loaded = loadDrill(join(FOLDER, file));
    if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
    const { lesson } = loaded.value;
    if (lesson === null) throw new Error(`${file} is no lesson`);
    return { id: file.replace('.drill.yaml', ''), drill: loaded.value, lesson };
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
