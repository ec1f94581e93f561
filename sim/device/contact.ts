/** A contact sensor: a comparator, a relay and two wires. */

import type { ContactSensor } from '../../src/rig/index.ts';
import type { PercentLfl } from '../../src/units/index.ts';
import { type Fault, faultOf } from '../faults/index.ts';

/**
 * Whether its input reads closed. The relay of `opens-on-gas` is held closed by its supply, so that losing
 * the supply or the wire reads as gas; that of `closes-on-gas` rests open, and losing either reads clear.
 */
export function isContactClosed(
  plan: ContactSensor,
  sensed: number,
  setpoint: PercentLfl,
  powered: boolean,
  faults: readonly Fault[],
): boolean {
  if (faultOf(faults, 'wire-open') !== undefined) return false;
  if (faultOf(faults, 'wire-short') !== undefined) return true;
  if (!powered || faultOf(faults, 'no-power') !== undefined) return false;
  const gas = sensed >= setpoint;
  return plan.contact === 'closes-on-gas' ? gas : !gas;
}
