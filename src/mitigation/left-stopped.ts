/** What an orderly stop leaves behind. */
import { effectsOf } from './assess.ts';
import { allOff, type Commands, type MitigationState } from './state.ts';

export interface LeftStopped {
  readonly commands: Commands;
  /** Nothing stands that ventilates or stops: the next start need not wait for a hold. */
  readonly unmitigated: boolean;
}

/**
 * All off where nothing is mitigated. Else the fan stays as it is, and compressors and heat go off: a welded
 * compressor keeps the fan, and the others serve on beside it, which nobody watches from here on.
 */
export function leftStopped({ phase, standing, commands }: MitigationState): LeftStopped {
  const off = allOff(commands.compressors.length);
  // Who has not been self-tested yet has not let anything on.
  const effects = effectsOf(standing.filter(({ hazard }) => hazard !== 'notSelfTested'));
  const isServing = phase.kind === 'running' || phase.kind === 'starting';
  if (isServing && !effects.ventilate && !effects.stop) return { commands: off, unmitigated: true };
  return { commands: { ...commands, heat: false, compressors: off.compressors }, unmitigated: false };
}
