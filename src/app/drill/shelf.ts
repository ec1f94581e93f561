/** The shipped drills, held against the rig of this bench: what can be played, and why the rest cannot. */
import { resolve } from 'node:path';
import {
  type Drill,
  drillOn,
  misfitOf,
  readDrillText,
  type ShippedDrill,
  shippedDrills,
} from '../../../sim/drill/index.ts';
import type { DrillListing, DrillWanted } from '../../api/drill-schema.ts';
import { formatProblem, suggestion } from '../../files/index.ts';
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

/** What problems of a text name as its file. */
const GIVEN_TEXT = 'drill';
/** Its trace is kept in memory to its end. */
const LENGTH_H_MAX = 24;
const MS_PER_H = 3_600_000;
const TOO_LONG = `it is longer than ${LENGTH_H_MAX} h: run it with leakbench drill`;

export class DrillShelf {
  readonly #rig: Rig;
  /** Read when first asked for; files of the package do not change while it runs. */
  #shelved: Promise<readonly ShippedDrill[]> | null = null;

  constructor(rig: Rig) {
    this.#rig = rig;
  }

  async list(): Promise<readonly DrillListing[]> {
    const all = await this.all();
    return all.map((drill) => {
      const { id, written, outcome } = drill;
      const { name, why, length, lesson } = written;
      const fits = outcome.ok ? tooLong(outcome.value) : misfitOf(drill);
      return { id, name, why, lengthMs: length, lesson: lesson !== undefined, fits };
    });
  }

  /** The drill on this rig, or why it cannot be played there. */
  async find(wanted: DrillWanted): Promise<Playable | string> {
    const found = 'id' in wanted ? await this.#shelvedAs(wanted.id) : this.#given(wanted.text);
    if (typeof found === 'string') return found;
    return tooLong(found.drill) ?? found;
  }

  async #shelvedAs(id: string): Promise<Playable | string> {
    const all = await this.all();
    const shelved = all.find((one) => one.id === id);
    if (shelved === undefined) {
      const ids = all.map((one) => one.id);
      return `there is no drill "${id}"; ${suggestion(id, ids)}`;
    }
    const { outcome } = shelved;
    if (!outcome.ok) return outcome.problems.map(formatProblem).join('\n');
    return playable(outcome.value, id, otherRig(shelved, this.#rig));
  }

  #given(text: string): Playable | string {
    const read = readDrillText(GIVEN_TEXT, text);
    const outcome = read.ok ? drillOn(this.#rig, GIVEN_TEXT, read.value) : read;
    if (!outcome.ok) return outcome.problems.map(formatProblem).join('\n');
    return playable(outcome.value, null, []);
  }

  all(): Promise<readonly ShippedDrill[]> {
    this.#shelved ??= shippedDrills(this.#rig);
    return this.#shelved;
  }
}

function playable(drill: Drill, id: string | null, notes: readonly string[]): Playable {
  return { drill, id, lesson: drill.lesson !== null, notes };
}

function tooLong({ lengthMs }: Drill): string | null {
  return lengthMs > LENGTH_H_MAX * MS_PER_H ? TOO_LONG : null;
}

/** A drill made for other limits may break here where it holds there. */
function otherRig({ written, file }: ShippedDrill, rig: Rig): readonly string[] {
  const made = resolve(file, '..', written.rig);
  if (made === resolve(rig.file)) return [];
  return [`the drill was made for another rig (${written.rig}); it was played and judged on ${rig.name}`];
}
