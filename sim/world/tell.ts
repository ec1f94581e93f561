/** Tells what changed between two states of the terminals, by output. */
import type { Ms } from '../../src/units/index.ts';
import type { Terminals } from '../equipment/index.ts';
import type { Observe } from './observation.ts';

const SINGLE = ['fan', 'damper', 'heat', 'trouble', 'alarm'] as const;

export function tellChanges(
  kind: 'command' | 'terminal',
  before: Terminals,
  after: Terminals,
  circuits: readonly string[],
  atMs: Ms,
  observe: Observe,
): void {
  if (before === after) return;
  for (const output of SINGLE) {
    if (before[output] !== after[output]) observe({ kind, atMs, output, on: after[output] });
  }
  after.compressors.forEach((on, index) => {
    if (on !== before.compressors[index]) {
      observe({ kind, atMs, output: `compressor.${circuits[index] ?? ''}`, on });
    }
  });
}

/** Every output with its state. */
export function outputsByName(terminals: Terminals, circuits: readonly string[]): Record<string, boolean> {
  return Object.fromEntries([
    ...SINGLE.map((output) => [output, terminals[output]] as const),
    ...circuits.map(
      (circuit, index) => [`compressor.${circuit}`, terminals.compressors[index] === true] as const,
    ),
  ]);
}
