/** The shipped drills, held against the rig of this bench: what it can play, and why not the rest. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { type Drill, drillOn, type ReadDrill, readDrillText } from '../../../sim/drill/index.ts';
import type { DrillListing, DrillWanted } from '../../api/drill-schema.ts';
import { type FileOutcome, formatProblem, packageRoot, suggestion } from '../../files/index.ts';
import type { Rig } from '../../rig/index.ts';

/** A drill to play in place. */
export interface Playable {
  readonly drill: Drill;
  /** null for one that was given as text. */
  readonly id: string | null;
  readonly lesson: boolean;
  /** What is said of it beforehand. */
  readonly notes: readonly string[];
}

interface Shelved {
  readonly id: string;
  readonly lesson: boolean;
  readonly file: string;
  readonly read: ReadDrill;
  readonly outcome: FileOutcome<Drill>;
}

const FOLDERS = [
  { folder: 'sim/drill/library', lesson: false },
  { folder: 'sim/drill/lessons', lesson: true },
] as const;
const ENDING = '.drill.yaml';
/** What problems of a text name as its file. */
const GIVEN_TEXT = 'drill';
/** Its trace is kept in memory to its end. */
const LENGTH_H_MAX = 24;
const MS_PER_H = 3_600_000;
const TOO_LONG = `it is longer than ${LENGTH_H_MAX} h: run it with leakbench drill`;

export class DrillShelf {
  readonly #rig: Rig;
  /** Read when first asked for; files of the package do not change while it runs. */
  #shelved: Promise<readonly Shelved[]> | null = null;

  constructor(rig: Rig) {
    this.#rig = rig;
  }

  async list(): Promise<readonly DrillListing[]> {
    const all = await this.#all();
    return all.map(({ id, lesson, read, outcome }) => {
      const { name, why, length } = read.value;
      const fits = outcome.ok ? tooLong(outcome.value) : (outcome.problems[0]?.message ?? null);
      return { id, name, why, lengthMs: length, lesson, fits };
    });
  }

  /** The drill on this rig, or why it cannot be played there. */
  async find(wanted: DrillWanted): Promise<Playable | string> {
    const found = 'id' in wanted ? await this.#shelvedAs(wanted.id) : this.#given(wanted.text);
    if (typeof found === 'string') return found;
    return tooLong(found.drill) ?? found;
  }

  async #shelvedAs(id: string): Promise<Playable | string> {
    const all = await this.#all();
    const shelved = all.find((one) => one.id === id);
    if (shelved === undefined) {
      const ids = all.map((one) => one.id);
      return `there is no drill "${id}"; ${suggestion(id, ids)}`;
    }
    const { lesson, outcome, read, file } = shelved;
    if (!outcome.ok) return outcome.problems.map(formatProblem).join('\n');
    return { drill: outcome.value, id, lesson, notes: otherRig(read, file, this.#rig) };
  }

  #given(text: string): Playable | string {
    const read = readDrillText(GIVEN_TEXT, text);
    const outcome = read.ok ? drillOn(this.#rig, GIVEN_TEXT, read.value) : read;
    if (!outcome.ok) return outcome.problems.map(formatProblem).join('\n');
    return { drill: outcome.value, id: null, lesson: false, notes: [] };
  }

  #all(): Promise<readonly Shelved[]> {
    this.#shelved ??= shelve(this.#rig);
    return this.#shelved;
  }
}

/** One file a turn of the event loop: at speed 20 a bench has no time for all of them at once. */
async function shelve(rig: Rig): Promise<readonly Shelved[]> {
  const shelved: Shelved[] = [];
  for (const { folder, lesson } of FOLDERS) {
    for (const id of drillsIn(folder)) {
      await new Promise((resolve) => setImmediate(resolve));
      shelved.push(shelvedFrom(folder, id, lesson, rig));
    }
  }
  return shelved;
}

function drillsIn(folder: string): readonly string[] {
  const path = join(packageRoot(), folder);
  if (!existsSync(path)) return [];
  const names = readdirSync(path).filter((name) => name.endsWith(ENDING));
  return names.map((name) => name.slice(0, -ENDING.length)).sort();
}

function shelvedFrom(folder: string, id: string, lesson: boolean, rig: Rig): Shelved {
  const name = id + ENDING;
  const file = join(packageRoot(), folder, name);
  const read = readDrillText(name, readFileSync(file, 'utf8'));
  if (!read.ok) throw new Error(read.problems.map(formatProblem).join('\n'));
  return { id, lesson, file, read: read.value, outcome: drillOn(rig, name, read.value) };
}

function tooLong({ lengthMs }: Drill): string | null {
  return lengthMs > LENGTH_H_MAX * MS_PER_H ? TOO_LONG : null;
}

/** A drill made for other limits may break here where it holds there. */
function otherRig({ value }: ReadDrill, file: string, rig: Rig): readonly string[] {
  const made = resolve(file, '..', value.rig);
  if (made === resolve(rig.file)) return [];
  return [`the drill was made for another rig (${value.rig}); it was played and judged on ${rig.name}`];
}
