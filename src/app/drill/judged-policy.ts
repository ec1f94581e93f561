/** The limits of a rig as its judge takes them. */
import type { JudgedPolicy } from '../../../sim/judge/policy.ts';
import type { Rig } from '../../rig/index.ts';

export function judgedPolicy({ policy, circuits, fieldIo }: Rig): JudgedPolicy {
  return {
    setpointPercentLfl: policy.setpoint,
    clearBelowPercentLfl: policy.clearBelow,
    holdMs: policy.holdMs,
    silentAfterMs: policy.silentAfterMs,
    askWithinMs: policy.askWithinMs,
    respondWithinMs: policy.respondWithinMs,
    fanProofWithinMs: policy.fanProofWithinMs,
    compressorMinOffMs: policy.compressorMinOffMs,
    resumeWithinMs: policy.resumeWithinMs,
    watchdogMs: fieldIo.watchdogMs,
    latchAfter: policy.latchAfter,
    circuits,
  };
}
