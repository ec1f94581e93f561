/** The outputs by their outside names: fan, damper, heat, alarm, trouble, then compressor.CIRCUIT. */
import type { Commands } from './state.ts';

export const SINGLE_OUTPUTS = ['fan', 'damper', 'heat', 'alarm', 'trouble'] as const;
type SingleOutput = (typeof SINGLE_OUTPUTS)[number];
export type Output = SingleOutput | `compressor.${string}`;

export function outputNames(circuits: readonly string[]): readonly Output[] {
  return [...SINGLE_OUTPUTS, ...circuits.map((circuit): Output => `compressor.${circuit}`)];
}

export function readOutput(commands: Commands, output: Output, circuits: readonly string[]): boolean {
  return isSingle(output) ? commands[output] : commands.compressors[circuitIndex(output, circuits)] === true;
}

export function circuitIndex(output: Output, circuits: readonly string[]): number {
  return circuits.indexOf(output.slice('compressor.'.length));
}

function isSingle(output: Output): output is SingleOutput {
  return (SINGLE_OUTPUTS as readonly string[]).includes(output);
}
