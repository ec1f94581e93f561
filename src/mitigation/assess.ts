/** Which hazards stand, and what they ask for together. */
import type { Ms } from '../units/index.ts';
import { EFFECTS, HAZARDS, type Hazard, type Standing } from './hazards.ts';
import { airflowProven } from './hold.ts';
import type { MitigationPolicy, Situation } from './situation.ts';
import type { MitigationState } from './state.ts';

/** A command needs a poll or two to show in the feedback; only what disagrees for longer is a hazard. */
const FEEDBACK_WITHIN_MS = 5000;

/** Brings the memory of what the equipment answers up to now. */
export function noteFeedback(state: MitigationState, situation: Situation, now: Ms): MitigationState {
  const { inputs, heard } = situation.plant;
  const airflow = airflowProven(situation);
  const { fan } = state.commands;
  return {
    ...state,
    airflowMissingSinceMs: since(fan && !airflow, state.airflowMissingSinceMs, now),
    airflowUnaskedSinceMs: since(!fan && airflow, state.airflowUnaskedSinceMs, now),
    runningUnaskedSinceMs: state.compressors.map((compressor, circuit) =>
      since(
        heard && inputs?.compressorRunning[circuit] === true && !compressor.on,
        state.runningUnaskedSinceMs[circuit] ?? null,
        now,
      ),
    ),
  };
}

/** Keeps the first moment of what goes on: a limit counts from the beginning, not from the last sign. */
function since(holds: boolean, sinceMs: Ms | null, now: Ms): Ms | null {
  return holds ? (sinceMs ?? now) : null;
}

/** Every hazard that stands at `now`, strongest first. */
export function hazardsNow(
  state: MitigationState,
  situation: Situation,
  policy: MitigationPolicy,
  now: Ms,
): readonly Standing[] {
  const standing: Standing[] = [];
  const add = (hazard: Hazard, subject: string): void => {
    standing.push({ hazard, subject });
  };
  if (state.phase.kind === 'fire') add('fire', 'rig');
  for (const sensor of situation.sensors) {
    for (const finding of sensor.findings) add(finding, sensor.id);
  }
  if (state.phase.kind === 'lockedOut') add('repeatedTrips', 'rig');
  if (!situation.plant.heard && situation.plant.silentSinceMs !== null) add('fieldIoSilent', 'fieldIo');
  if (isOver(state.airflowMissingSinceMs, policy.fanProofWithinMs, now)) add('fanNotProven', 'fan');
  for (const sensor of situation.sensors) if (!sensor.passed) add('notSelfTested', sensor.id);
  policy.circuits.forEach((name, circuit) => {
    if (isOver(state.runningUnaskedSinceMs[circuit], FEEDBACK_WITHIN_MS, now))
      add('compressorAgainstCommand', `compressor.${name}`);
  });
  if (situation.plant.overwritten) add('commandsOverwritten', 'fieldIo');
  const { heard, untakenSinceMs } = situation.plant;
  if (heard && isOver(untakenSinceMs, FEEDBACK_WITHIN_MS, now)) add('commandsNotTaken', 'fieldIo');
  if (isOver(state.airflowUnaskedSinceMs, FEEDBACK_WITHIN_MS, now)) add('airflowWithoutFan', 'fan');
  return standing.sort((a, b) => rankOf(a) - rankOf(b));
}

const RANKS = Object.fromEntries(Object.keys(HAZARDS).map((hazard, rank) => [hazard, rank])) as Readonly<
  Record<Hazard, number>
>;

function rankOf(standing: Standing): number {
  return RANKS[standing.hazard];
}

function isOver(sinceMs: Ms | null | undefined, limitMs: number, now: Ms): boolean {
  return typeof sinceMs === 'number' && now - sinceMs >= limitMs;
}

/** What all standing hazards ask for together. */
export interface Effects {
  readonly ventilate: boolean;
  readonly stop: boolean;
  readonly everythingOff: boolean;
  readonly alarm: boolean;
  readonly trouble: boolean;
}

/**
 * Sums up what the standing rows ask for: each effect stands if any row asks for it, so that the strongest
 * wins by having the most, and no weaker row is lost beside it.
 */
export function effectsOf(standing: readonly Standing[]): Effects {
  // They stand by hazard, and a thousand sensors with the same one ask for nothing more.
  const first = standing.filter(({ hazard }, index) => hazard !== standing[index - 1]?.hazard);
  const rows = first.map(({ hazard }) => ({
    ...EFFECTS[HAZARDS[hazard].effect],
    shows: HAZARDS[hazard].shows,
  }));
  return {
    ventilate: rows.some((row) => row.ventilate),
    stop: rows.some((row) => row.stop),
    everythingOff: rows.some((row) => row.everythingOff),
    alarm: rows.some((row) => row.shows === 'alarm'),
    trouble: rows.some((row) => row.shows === 'trouble'),
  };
}
