/** Until when the machine decides the same if it sees the same. */
import type { PlantInputs } from '../belief/index.ts';
import { endsAtMs } from './hold.ts';
import type { MitigationPolicy } from './situation.ts';
import type { MitigationState } from './state.ts';

/**
 * Everything that time alone can change: a hold that runs out, a compressor that waits for its turn, feedback
 * that is missing or unasked for, noted or about to be. Infinity where nothing waits for time; -Infinity
 * while something does whose end is not worth working out.
 */
export function steadyUntilMs(state: MitigationState, inputs: PlantInputs, policy: MitigationPolicy): number {
  const { phase, compressors, airflowMissingSinceMs, airflowUnaskedSinceMs, runningUnaskedSinceMs } = state;
  const feedback = [airflowMissingSinceMs, airflowUnaskedSinceMs, ...runningUnaskedSinceMs];
  if (feedback.some((sinceMs) => sinceMs !== null) || !isObeyed(state, inputs))
    return Number.NEGATIVE_INFINITY;
  if (phase.kind === 'holding') return endsAtMs(phase.hold, policy.holdMs);
  const waits = phase.kind === 'running' && inputs.calls.cooling && !compressors.every(({ on }) => on);
  return waits ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY;
}

/** The equipment does as it is told: no time begins to run against it. */
function isObeyed({ commands, compressors }: MitigationState, inputs: PlantInputs): boolean {
  const noneRuns = compressors.every(({ on }, circuit) => on || inputs.compressorRunning[circuit] !== true);
  return commands.fan === inputs.airflow && noneRuns;
}
