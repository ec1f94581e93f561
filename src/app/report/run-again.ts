/** The command that runs a drill again and, in virtual time, comes to the same result to the last word. */
import type { DrillVerdict } from './verdict.ts';

type Run = Pick<DrillVerdict, 'file' | 'rigGiven' | 'seed' | 'controller' | 'host' | 'liveOptions'>;

export function runAgain({ file, rigGiven, seed, controller, host, liveOptions }: Run): string {
  return [
    'leakbench drill',
    quoted(file),
    ...(rigGiven === undefined ? [] : [`--rig ${quoted(rigGiven)}`]),
    `--seed ${seed}`,
    ...(controller === 'builtin' ? [] : [`--controller ${quoted(controller)}`]),
    ...(host === 'live' ? ['--live', ...liveOptions.map(quoted)] : []),
  ].join(' ');
}

/** For a POSIX shell; what needs no quotes gets none. */
function quoted(word: string): string {
  return /^[\w@%+=:,./-]+$/u.test(word) ? word : `'${word.replaceAll("'", String.raw`'\''`)}'`;
}
