/** Fan, compressors and heat behind the field I/O's terminals: what really turns, and what can be proven. */

import type { Ms } from '../../src/units/index.ts';
import { type Fault, faultOf } from '../faults/index.ts';
import type { Terminals } from './field-io.ts';

/** What moves. Air does not ramp up: none until the spin-up is over, all of it from then on. */
export interface Plant {
  readonly spinUpMs: Ms;
  /** Since when the fan turns; its air begins after the spin-up. */
  fanSinceMs: Ms | null;
  compressorRunning: readonly boolean[];
  heating: boolean;
}

/** Faults of the equipment, by what they are in: fan, airflow, fieldIo, compressor.X, output.X. */
export type EquipmentFaults = ReadonlyMap<string, readonly Fault[]>;

const NO_FAULTS: readonly Fault[] = [];

/** Everything at rest. */
export function newPlant(spinUpMs: Ms, circuits: number): Plant {
  return {
    spinUpMs,
    fanSinceMs: null,
    compressorRunning: Array.from({ length: circuits }, () => false),
    heating: false,
  };
}

/** Terminals as they are with their faults: a stuck one stays as told. */
export function stuckTerminals(
  terminals: Terminals,
  circuits: readonly string[],
  faults: EquipmentFaults,
): Terminals {
  if (faults.size === 0) return terminals;
  const at = (output: string, on: boolean): boolean =>
    faultOf(faults.get(`output.${output}`) ?? NO_FAULTS, 'output-stuck')?.parameters.reads ?? on;
  return {
    fan: at('fan', terminals.fan),
    damper: at('damper', terminals.damper),
    heat: at('heat', terminals.heat),
    trouble: at('trouble', terminals.trouble),
    alarm: at('alarm', terminals.alarm),
    compressors: circuits.map((circuit, index) =>
      at(`compressor.${circuit}`, terminals.compressors[index] === true),
    ),
  };
}

/** The equipment follows its terminals; without supply nothing moves. */
export function drivePlant(
  plant: Plant,
  terminals: Terminals,
  circuits: readonly string[],
  faults: EquipmentFaults,
  powered: boolean,
  now: Ms,
): void {
  const dead = faultOf(faults.get('fan') ?? NO_FAULTS, 'fan-dead') !== undefined;
  const turns = powered && terminals.fan && !dead;
  plant.fanSinceMs = turns ? (plant.fanSinceMs ?? now) : null;
  plant.heating = powered && terminals.heat;
  // A welded contactor passes current whatever its coil says, but not without a supply.
  const welded = (circuit: string): boolean =>
    faults.size > 0 &&
    faultOf(faults.get(`compressor.${circuit}`) ?? NO_FAULTS, 'compressor-welded') !== undefined;
  plant.compressorRunning = circuits.map(
    (circuit, index) => powered && (terminals.compressors[index] === true || welded(circuit)),
  );
}

/** Whether the fan moves air at `now`. */
export function isBlowing(plant: Plant, now: Ms): boolean {
  return plant.fanSinceMs !== null && now - plant.fanSinceMs >= plant.spinUpMs;
}

/** When the fan's air begins, or Infinity where it blows already or does not turn. */
export function blowsFromMs(plant: Plant, now: Ms): number {
  return plant.fanSinceMs === null || isBlowing(plant, now)
    ? Number.POSITIVE_INFINITY
    : plant.fanSinceMs + plant.spinUpMs;
}

/**
 * What the airflow switch says. It proves air, not the fan's command: a dead fan reads as none, and a switch
 * that is stuck reads as it is stuck, whatever blows.
 */
export function airflowReads(blowing: boolean, faults: EquipmentFaults): boolean {
  return faultOf(faults.get('airflow') ?? NO_FAULTS, 'airflow-switch-stuck')?.parameters.reads ?? blowing;
}
