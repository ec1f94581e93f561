/** `seek` on the command line. */
import { type Command, Option } from 'commander';
import type { SeekOptions } from '../commands/seek.ts';
import { EXIT, Stop } from '../stop.ts';
import { given } from './given.ts';
import { seed, wholeNumber } from './whole-number.ts';

const COUNT_MAX = 1_000_000_000;
const WORKERS_MAX = 256;

export function seekVerb(program: Command): void {
  program
    .command('seek [rig]')
    .description(
      'search random fault sequences for one that breaks a rule, shrink it, write it as a drill (default: the demo rig)',
    )
    .option('--controller <which>', 'builtin or exec:COMMAND', 'builtin')
    .option('--runs <n>', 'drills to try', wholeNumber(1, COUNT_MAX))
    .option('--for <duration>', 'end after so much real time, such as 60s (default, without --runs)')
    .option('--findings <n>', 'end when so many rules are broken', wholeNumber(1, COUNT_MAX))
    .option('--pairwise', 'only drills that put every pair of faults together, as few as that takes')
    .option('--seed <n>', 'seed of everything drawn by chance', seed, 1)
    .option('--workers <n>', 'threads (default: one a core)', wholeNumber(1, WORKERS_MAX))
    .addOption(
      new Option('--queue <url>', 'have workers on other machines do it: redis://HOST:6379').env(
        'LEAKBENCH_QUEUE',
      ),
    )
    .option('--worker', 'work for searches at the --queue, with this --controller and no other')
    .option('--out <dir>', 'folder of the drills that are written', '.')
    .option('--json', 'one JSON document on standard output')
    .addHelpText(
      'after',
      "\nExample:\n  leakbench seek my.rig.yaml --controller 'exec:python3 my_controller.py' --for 5min",
    )
    .action(async (rig: string | undefined, options: SeekOptions & { worker?: true }, command: Command) => {
      if (options.worker === true) {
        refuseForWorker(rig, command);
        const { seekWorker } = await import('../commands/seek-worker.ts');
        await seekWorker(options);
        return;
      }
      const { seek } = await import('../commands/seek.ts');
      await seek(rig, options);
    });
}

/** What a worker is told by the search. */
const OF_THE_SEARCH = ['runs', 'for', 'findings', 'pairwise', 'seed', 'out', 'json'];

function refuseForWorker(rig: string | undefined, command: Command): void {
  const useless = [...(rig === undefined ? [] : [rig]), ...given(command, OF_THE_SEARCH)];
  if (useless.length === 0) return;
  throw new Stop(EXIT.usage, `a worker gets rig and drills from the search: leave ${useless.join(', ')} out`);
}
