/** `seek` on the command line. */
import { type Command, InvalidArgumentError } from 'commander';
import type { SeekOptions } from '../commands/seek.ts';

const COUNT_MAX = 1_000_000_000;
const WORKERS_MAX = 256;
const SEED_MAX = 0x7fffffff;

export function seekVerb(program: Command): void {
  program
    .command('seek [rig]')
    .description(
      'search random fault sequences for one that breaks a rule, shrink it, write it as a drill (default: the demo rig)',
    )
    .option('--controller <which>', 'builtin or exec:COMMAND', 'builtin')
    .option('--runs <n>', 'drills to try', whole(1, COUNT_MAX))
    .option('--for <duration>', 'end after so much real time, such as 60s (default, without --runs)')
    .option('--findings <n>', 'end when so many rules are broken', whole(1, COUNT_MAX))
    .option('--pairwise', 'only drills that put every pair of faults together, as few as that takes')
    .option('--seed <n>', 'seed of everything drawn by chance', whole(0, SEED_MAX), 1)
    .option('--workers <n>', 'threads (default: one a core)', whole(1, WORKERS_MAX))
    .option('--out <dir>', 'folder of the drills that are written', '.')
    .option('--json', 'one JSON document on standard output')
    .addHelpText(
      'after',
      "\nExample:\n  leakbench seek my.rig.yaml --controller 'exec:python3 my_controller.py' --for 5min",
    )
    .action(async (rig: string | undefined, options: SeekOptions) => {
      const { seek } = await import('../commands/seek.ts');
      await seek(rig, options);
    });
}

function whole(min: number, max: number): (text: string) => number {
  return (text) => {
    const value = Number(text);
    if (/^\d+$/u.test(text) && value >= min && value <= max) return value;
    throw new InvalidArgumentError(`It takes a whole number, ${min} to ${max}.`);
  };
}
