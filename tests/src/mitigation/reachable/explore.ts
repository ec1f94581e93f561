/** Breadth first through everything that a machine and its shadow can come to. */
import {
  type MitigationPolicy,
  type MitigationState,
  type PowerUp,
  powerUpState,
  stepMitigation,
} from '../../../../src/mitigation/index.ts';
import { type Ms, ms } from '../../../../src/units/index.ts';
import { keyOf } from './key.ts';
import { complaints, note, remember, type Shadow, shadowAtPowerUp } from './oracle.ts';
import { after, type Between, STEP_TICKS, situationOf, TICK_MS, type Told } from './world.ts';

export interface Place {
  readonly state: MitigationState;
  readonly shadow: Shadow;
  readonly between: Between;
  readonly now: Ms;
  /** The way here, for a person who has to understand a complaint. */
  readonly from: Place | null;
  readonly by: Way;
}

interface Way {
  readonly ticks: number;
  readonly told: Told | PowerUp['record'];
  readonly letGo: boolean;
}

export interface Explored {
  readonly places: readonly Place[];
  readonly steps: number;
  /** Complaints with the way to the first place each came up at. */
  readonly wrong: ReadonlyMap<string, readonly string[]>;
}

/** More states than this would mean that the classes do not close. */
const PLACES_MAX = 100_000;

export function powerUps(policy: MitigationPolicy): readonly Place[] {
  const records: readonly PowerUp['record'][] = ['empty', 'orderly', 'disorderly', 'lockedOut'];
  const circuits = policy.circuits.length;
  return records.map((record) => ({
    state: powerUpState(circuits, { record, tripAgesMs: [], tripCounted: false }, ms(0)),
    shadow: shadowAtPowerUp(record, circuits),
    between: {
      commanded: Array.from({ length: circuits }, () => false),
      offSinceMs: Array.from({ length: circuits }, () => null),
      lastMs: ms(0),
    },
    now: ms(0),
    from: null,
    by: { ticks: 0, told: record, letGo: false },
  }));
}

export function explore(policy: MitigationPolicy, all: readonly Told[]): Explored {
  const places: Place[] = [];
  const seen = new Set<string>();
  const wrong = new Map<string, readonly string[]>();
  let steps = 0;
  const arrive = (place: Place): void => {
    const key = keyOf(place, policy);
    if (seen.has(key)) return;
    seen.add(key);
    places.push(place);
    if (places.length > PLACES_MAX) throw new Error('the classes do not close');
  };
  for (const place of powerUps(policy)) arrive(place);
  // The list grows while it is walked, and the walk takes in what is added.
  for (const place of places) {
    for (const ticks of STEP_TICKS)
      for (const told of all) {
        for (const next of stepsFrom(place, told, ticks, policy)) {
          steps += 1;
          for (const sentence of next.wrong) if (!wrong.has(sentence)) wrong.set(sentence, wayTo(next.place));
          arrive(next.place);
        }
      }
  }
  return { places, steps, wrong };
}

export interface Next {
  readonly place: Place;
  readonly wrong: readonly string[];
}

/** One step, or two where the machine asks to be let go: as if the record failed, and as if it did not. */
export function stepsFrom(
  place: Place,
  told: Told,
  ticks: number,
  policy: MitigationPolicy,
): readonly Next[] {
  const now = (place.now + ticks * TICK_MS) as Ms;
  const situation = situationOf(told, place.between, now);
  const step = stepMitigation(place.state, situation, policy, now);
  const asked = step.release !== null;
  const heardMs = place.between.lastMs;
  const arrived = (from: Place, state: MitigationState, letGo: boolean): Next => {
    const { commands } = state;
    const noted = note(from.shadow, told, now);
    const seen = { told, now, heardMs, commands, asked, letGo, running: state.phase.kind === 'running' };
    return {
      place: {
        state,
        shadow: remember(noted, seen),
        between: after(told, from.between, commands.compressors, now),
        now,
        from: place,
        by: { ticks, told, letGo },
      },
      wrong: complaints(from.shadow, noted, seen),
    };
  };
  const stayed = arrived(place, step.state, false);
  if (!asked) return [stayed];
  const { state } = stepMitigation(step.state, situation, policy, now, true);
  return [stayed, arrived(stayed.place, state, true)];
}

function wayTo(place: Place): readonly string[] {
  const way: string[] = [];
  for (let at: Place | null = place; at !== null; at = at.from)
    way.unshift(`${JSON.stringify(at.by)} -> ${at.state.phase.kind} ${JSON.stringify(at.state.commands)}`);
  return way;
}
