/** Until when the machine decides the same if it sees the same. */
import { endsAtMs } from './hold.ts';
import type { MitigationPolicy } from './situation.ts';
import type { MitigationState } from './state.ts';

/**
 * Everything that time alone can change: a hold that runs out, a compressor that waits for its turn, feedback
 * that is missing or unasked for. Infinity where nothing waits for time; -Infinity while something does whose
 * end is not worth working out.
 */
export function steadyUntilMs(state: MitigationState, cooling: boolean, policy: MitigationPolicy): number {
  const { phase, compressors, airflowMissingSinceMs, airflowUnaskedSinceMs, runningUnaskedSinceMs } = state;
  const feedback = [airflowMissingSinceMs, airflowUnaskedSinceMs, ...runningUnaskedSinceMs];
  if (feedback.some((sinceMs) => sinceMs !== null)) return Number.NEGATIVE_INFINITY;
  if (phase.kind === 'holding') return endsAtMs(phase.hold, policy.holdMs);
  const waits = phase.kind === 'running' && cooling && !compressors.every(({ on }) => on);
  return waits ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY;
}
