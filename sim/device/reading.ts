/** What the element and its electronics make of the gas: the number that a sensor publishes. */

import {
  percentLflOf,
  type Refrigerant,
  toPercentLfl,
  toPercentLflDifference,
} from '../../src/refrigerant/index.ts';
import type { ModbusSensor } from '../../src/rig/index.ts';
import type { Ms, PercentLfl } from '../../src/units/index.ts';
import { type Fault, faultOf } from '../faults/index.ts';
import { ageDaysAt, driftedBy } from './ageing.ts';
import { type OtherGas, otherGasShown } from './other-gas.ts';
import { type Poison, sensitivityOf } from './poison.ts';

/** As much of a sensor as its number depends on. */
export interface Element {
  readonly plan: ModbusSensor;
  faults: readonly Fault[];
  /** null for one that was never poisoned. */
  poison: Poison | null;
  /** null until another gas comes for the first time. */
  otherGas: OtherGas | null;
  /** The draw for the measurement that stands, from the standard normal distribution. */
  scatter: number;
}

/** What an element of this rig is made for, and how old it is. */
export interface ElementFacts {
  readonly setpoint: PercentLfl;
  readonly refrigerant: Refrigerant;
  /** Its age at bench time zero, days. */
  readonly ageDays: number;
}

/** Counts to the %LFL where the profile has no point to say so, or one that is a float. */
const COUNTS_PER_PERCENT = 10;
/** A level in whole counts may come out of a conversion, or of a lag, a rounding error below them. */
const CONVERSION_DUST_COUNTS = 1e-6;

/**
 * Never below zero, never above pure vapour. The element comes first (what it feels, how much it sees of it),
 * then its electronics (zero, noise, the end of the range), each fault where it sits.
 */
export function readingOf(
  device: Element,
  sensed: number,
  facts: ElementFacts,
  now: Ms,
  scatter: number,
): number {
  const { faults } = device;
  const { refrigerant } = facts;
  const age = driftedBy(device.plan, ageDaysAt(facts.ageDays, now));
  let reading = faultOf(faults, 'blind') === undefined ? sensed + otherGasOf(device, now) : 0;
  reading *= sensitivityOf(device.poison, now);
  reading *= age.gain;
  reading *= faultOf(faults, 'gain')?.parameters.factor ?? 1;
  reading *= faultOf(faults, 'worn-out')?.parameters.factor ?? 1;
  reading += age.zeroPercentLfl;
  const offset = faultOf(faults, 'offset')?.parameters.by;
  if (offset !== undefined) reading += toPercentLflDifference(offset, refrigerant);
  reading += device.scatter * device.plan.noisePercentLfl;
  const noise = faultOf(faults, 'noisy')?.parameters.by;
  if (noise !== undefined) reading += scatter * toPercentLfl(noise, refrigerant);
  const saturated = faultOf(faults, 'saturated')?.parameters.at;
  if (saturated !== undefined) reading = toPercentLfl(saturated, refrigerant);
  const pure = percentLflOf(refrigerant.vapourKgPerM3, refrigerant);
  const bounded = Math.min(Math.max(reading, 0), pure);
  return wholeCounts(bounded, countsPerPercent(device));
}

export function setpointOf(device: Element, facts: ElementFacts): number {
  const perPercent = countsPerPercent(device);
  return Math.max(1 / perPercent, wholeCounts(facts.setpoint, perPercent));
}

function otherGasOf({ otherGas }: Element, now: Ms): number {
  return otherGas === null ? 0 : otherGasShown(otherGas, now);
}

/**
 * Reading and setpoint are kept to the whole counts that the register shows, so that number, bits and state
 * never disagree. Both are cut, not rounded: gas at the setpoint reads so, and gas below it does not.
 */
function wholeCounts(value: number, perPercent: number): number {
  return Math.floor(value * perPercent + CONVERSION_DUST_COUNTS) / perPercent;
}

function countsPerPercent(device: Element): number {
  const { gasPercentLfl } = device.plan.codec.profile.points;
  const counted = gasPercentLfl !== undefined && gasPercentLfl.type !== 'f32';
  return counted ? 1 / gasPercentLfl.scale : COUNTS_PER_PERCENT;
}
