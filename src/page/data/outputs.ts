/** The outputs of a rig by their outside names, and how each is commanded now. */
import type { RigView, Snapshot } from '../types.ts';

/** In the order we show them. */
export function outputsOf(rig: RigView): readonly string[] {
  const compressors = rig.circuits.map((circuit) => `compressor.${circuit}`);
  return ['fan', 'damper', ...(rig.heat ? ['heat'] : []), ...compressors, 'alarm', 'trouble'];
}

/** Without a supervisor here, what stands at the terminals is what is known of the commands. */
export function isCommandedOn(output: string, { supervisor, world }: Snapshot): boolean {
  return (supervisor === null ? world?.terminals[output] : supervisor.commands[output]?.on) === true;
}
