/**
 * Which answers need no decision: those of a sensor of which the same is true as before. Nearly all are,
 * and where thousands of sensors answer every second, looking at all of them for each would leave no time to
 * ask. Nothing that trips waits: whatever is found, ends or passes is decided at once, and the next answer of
 * the field I/O, or the next look, decides in any case.
 */
import { findingsOf, type PlantBelief, reportsGasNow, type SensorBelief } from '../belief/index.ts';
import { type MitigationState, steadyUntilMs } from '../mitigation/index.ts';
import type { Ms } from '../units/index.ts';
import type { SupervisorPlan } from './plan.ts';
import { readingFact } from './reading-facts.ts';

/** What of the supervisor's state the question is about. */
interface Known {
  readonly beliefs: readonly SensorBelief[];
  readonly plant: PlantBelief;
  readonly mitigation: MitigationState;
  readonly taken: boolean;
  readonly told: readonly (number | null)[];
}

/** Whether a decision after this answer of a sensor would be the one before over again. */
export function decidesTheSame(
  plan: SupervisorPlan,
  before: Known,
  after: Known,
  index: number,
  now: Ms,
): boolean {
  const sensor = plan.sensors[index];
  const [was, is] = [before.beliefs[index], after.beliefs[index]];
  const inputs = after.plant.last?.inputs;
  if (sensor?.kind !== 'modbus' || was === undefined || is === undefined || inputs === undefined)
    return false;
  if (!after.taken || now >= steadyUntilMs(after.mitigation, inputs, plan.policy)) return false;
  if (readingFact(sensor, is, after.told[index] ?? null, now) !== null) return false;
  return isAsBefore(plan, was, is, sensor.serial, now);
}

function isAsBefore(
  { limits }: SupervisorPlan,
  was: SensorBelief,
  is: SensorBelief,
  serial: string | null,
  now: Ms,
): boolean {
  if (was.selfTestPassed !== is.selfTestPassed) return false;
  if (reportsGasNow(was, limits) !== reportsGasNow(is, limits)) return false;
  const [found, finds] = [was, is].map((belief) => findingsOf(belief, limits, serial, now).join(' '));
  return found === finds;
}
