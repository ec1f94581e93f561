/** Beliefs as the mitigation machine sees them. */
import {
  contactFindings,
  findingsOf,
  isPlantSilent,
  type PlantBelief,
  reportsGasNow,
  type SensorBelief,
  UNHEARD,
  unknownSinceMs,
  wellAtMs,
} from '../belief/index.ts';
import type { SensorSituation, Situation } from '../mitigation/index.ts';
import type { Ms } from '../units/index.ts';
import type { SupervisorPlan } from './plan.ts';

/** What it takes of a supervisor's state. */
export interface Beliefs {
  readonly beliefs: readonly SensorBelief[];
  readonly plant: PlantBelief;
  /** By circuit: since when the field I/O has certainly held the compressor's coil off. */
  readonly compressorOffSinceMs: readonly (Ms | null)[];
  /** The coils read back were not those written: somebody else commands this field I/O too. */
  readonly overwritten: boolean;
  /** When the first write ended that was not answered in full, if none has been since. */
  readonly untakenSinceMs: Ms | null;
}

export function situationOf(plan: SupervisorPlan, state: Beliefs, now: Ms): Situation {
  const { plant } = state;
  const silent = isPlantSilent(plant, plan.limits, now);
  return {
    sensors: plan.sensors.map((sensor, index) =>
      sensor.kind === 'contact'
        ? contactSituation(sensor, plant, plan, now)
        : sensorSituation(sensor, state.beliefs[index] ?? UNHEARD, plan, now),
    ),
    plant: {
      heard: plant.last !== null && !silent,
      silentSinceMs: silent ? plantUnknownSinceMs(plant, plan) : null,
      inputs: plant.last?.inputs ?? null,
      airflowProvenAtMs: plant.airflowProvenAtMs,
      overwritten: state.overwritten,
      untakenSinceMs: state.untakenSinceMs,
      compressorOffSinceMs: state.compressorOffSinceMs,
    },
  };
}

function sensorSituation(
  sensor: Extract<SupervisorPlan['sensors'][number], { kind: 'modbus' }>,
  belief: SensorBelief,
  plan: SupervisorPlan,
  now: Ms,
): SensorSituation {
  const findings = findingsOf(belief, plan.limits, sensor.serial, now);
  const { lastGood, unansweredSinceMs } = belief;
  return {
    id: sensor.id,
    findings,
    gasNow: reportsGasNow(belief, plan.limits),
    passed: belief.selfTestPassed,
    wellAtMs: wellAtMs(belief, findings, plan.limits),
    gasPercentLfl: lastGood?.heard.gasPercentLfl ?? null,
    silentSinceMs: findings.includes('silent')
      ? unknownSinceMs(unansweredSinceMs, lastGood?.atMs ?? null, plan.limits)
      : unansweredSinceMs,
  };
}

function contactSituation(
  sensor: Extract<SupervisorPlan['sensors'][number], { kind: 'contact' }>,
  plant: PlantBelief,
  plan: SupervisorPlan,
  now: Ms,
): SensorSituation {
  const findings = contactFindings(plant, sensor, plan.limits, now);
  const well = findings.length === 0 && plant.unansweredSinceMs === null;
  return {
    id: sensor.id,
    findings,
    gasNow: findings.includes('gas'),
    // A contact has no self-test to pass, but it must have been heard.
    passed: plant.last !== null,
    wellAtMs: well ? (plant.last?.atMs ?? null) : null,
    gasPercentLfl: null,
    silentSinceMs: findings.includes('silent') ? plantUnknownSinceMs(plant, plan) : plant.unansweredSinceMs,
  };
}

function plantUnknownSinceMs(
  { unansweredSinceMs, last }: PlantBelief,
  { limits }: SupervisorPlan,
): Ms | null {
  return unknownSinceMs(unansweredSinceMs, last?.atMs ?? null, limits);
}
