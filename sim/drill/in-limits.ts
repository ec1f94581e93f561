/** Whether a sensor, without any fault, still is what a published detector has to be. */
import type { Policy, Sensor } from '../../src/rig/index.ts';
import { reportsAfterMs } from '../device/index.ts';
import { DETECTED_PERCENT_LFL, DETECTOR_LIMIT_MS } from '../judge/chain.ts';
import { toldAgeDays } from '../world/unit.ts';

/**
 * One that its age lets report too late, or never, is no fault that a drill put in, and nothing that a
 * controller could make good: what it misses is not held against one. A sensor that does not drift is as
 * quick as its rig says, and a rig whose sensors are too slow does not keep the chain's limit.
 */
export function isInLimits(sensor: Sensor, { setpoint }: Policy): boolean {
  if (sensor.kind === 'contact' || sensor.driftPerYear === null) return true;
  const afterMs = reportsAfterMs(sensor, DETECTED_PERCENT_LFL, setpoint, toldAgeDays(sensor));
  return afterMs <= DETECTOR_LIMIT_MS;
}
