/** `assign` on the command line. */
import type { Command } from 'commander';
import type { AssignOptions } from '../commands/assign.ts';
import { lineOptions } from './line-options.ts';

export function assignVerb(program: Command): void {
  lineOptions(program.command('assign <rig> <sensor...>'))
    .description('give sensors their planned addresses, and prove it; a dry run without --write')
    .option('--write', 'write key and address; without it nothing is written')
    .option('--restart', 'restart by command where the profile has one, in place of a power cycle by hand')
    .option('--wait <time>', 'how long to wait for a deed of a person', '2 min')
    .option('--data <dir>', 'folder of the record; assignments go into its folder "service"', './.leakbench')
    .option('--json', 'one JSON document on standard output; the steps go to standard error')
    .addHelpText(
      'after',
      '\nExample:\n  leakbench assign my.rig.yaml coil-a coil-b --bus tcp://192.168.0.20:502 --write',
    )
    .action(async (rig: string, sensors: string[], options: AssignOptions) => {
      const { assign } = await import('../commands/assign.ts');
      await assign(rig, sensors, options);
    });
}
