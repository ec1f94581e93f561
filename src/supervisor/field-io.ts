/** Commands and inputs ⇄ the bits of the field I/O. */
import type { PlantInputs } from '../belief/index.ts';
import type { Commands } from '../mitigation/index.ts';
import {
  COILS,
  COMPRESSOR_COIL_FIRST,
  CONTACT_INPUT_FIRST,
  CONTACT_INPUT_LAST,
  INPUTS,
  RUNNING_INPUT_FIRST,
} from '../rig/index.ts';

/** Coils from 0 on as they should stand; reserved ones between stay off. */
export function coilsOf(commands: Commands): readonly boolean[] {
  const coils = Array.from({ length: COMPRESSOR_COIL_FIRST }, () => false);
  coils[COILS.fan] = commands.fan;
  coils[COILS.damper] = commands.damper;
  coils[COILS.heat] = commands.heat;
  coils[COILS.trouble] = commands.trouble;
  coils[COILS.alarm] = commands.alarm;
  return [...coils, ...commands.compressors];
}

/** Coils between the commands are reserved: never written, and nobody's business when read. */
function isCommand(address: number): boolean {
  return address < Object.keys(COILS).length || address >= COMPRESSOR_COIL_FIRST;
}

/** Whether coils as they were read are those commanded. */
export function areHeld(commanded: readonly boolean[], read: ArrayLike<number>): boolean {
  return commanded.every((on, address) => !isCommand(address) || on === (read[address] === 1));
}

export function sameCoils(one: readonly boolean[], other: readonly boolean[]): boolean {
  return one.length === other.length && one.every((coil, address) => coil === other[address]);
}

/** How many discrete inputs one read brings, from 0 on. */
export function inputCount(circuits: number): number {
  return RUNNING_INPUT_FIRST + circuits;
}

export function inputsOf(bits: ArrayLike<number>, circuits: number): PlantInputs {
  const at = (address: number): boolean => bits[address] === 1;
  const contactClosed: Record<number, boolean> = {};
  for (let input = CONTACT_INPUT_FIRST; input <= CONTACT_INPUT_LAST; input += 1)
    contactClosed[input] = at(input);
  return {
    calls: { cooling: at(INPUTS.cooling), heating: at(INPUTS.heating), fan: at(INPUTS.fanCall) },
    airflow: at(INPUTS.airflow),
    serviceReset: at(INPUTS.serviceReset),
    fire: at(INPUTS.fire),
    contactClosed,
    compressorRunning: Array.from({ length: circuits }, (_, circuit) => at(RUNNING_INPUT_FIRST + circuit)),
  };
}
