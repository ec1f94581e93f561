/** `roster` on the command line. */
import type { Command } from 'commander';
import type { RosterOptions } from '../commands/roster.ts';
import type { ReplaceOptions } from '../commands/roster-replace.ts';
import { lineOptions } from './line-options.ts';

const DATA = ['--data <dir>', 'folder of the record, with the folders in it', './.leakbench'] as const;

export function rosterVerb(program: Command): void {
  const roster = program
    .command('roster [rig]')
    .description(
      'the sensors as a service record: place, part, serial, address, age, life left, check due, last on record',
    )
    // What stands behind `replace` is of that.
    .enablePositionalOptions()
    .option(...DATA)
    .option('--json', 'one JSON document on standard output')
    .option('--csv <file>', 'write it as a table too')
    .option('--html <file>', 'write a maintenance checklist to print, tick and sign too')
    .addHelpText('after', '\nExample:\n  leakbench roster my.rig.yaml --html checklist.html')
    .action(async (rig: string | undefined, options: RosterOptions) => {
      const command = await import('../commands/roster.ts');
      await command.roster(rig, options);
    });
  replaceCommand(roster);
}

function replaceCommand(roster: Command): void {
  lineOptions(roster.command('replace <rig> <sensor>'))
    .description('another part in the place of a sensor: proves it, then writes rig file and record')
    .requiredOption('--serial <serial>', 'of the new part')
    .option('--installed <day>', 'day of installation, such as 2026-03-01 (default: today)')
    .option('--made <day>', 'day of manufacture, where the part says it; goes on record')
    .option('--by <name>', 'who replaced it (default: who is logged in here)')
    .option('--by-label', 'the word that the serial was read on the label, where no line can tell it')
    .option('--write', 'write rig file and record; without it nothing is written')
    .option(...DATA)
    .option('--json', 'one JSON document on standard output; the steps go to standard error')
    .addHelpText(
      'after',
      '\nExample:\n  leakbench roster replace my.rig.yaml coil-a --serial 260301 --bus tcp://192.168.0.20:502 --write',
    )
    .action(async (rig: string, sensor: string, options: ReplaceOptions) => {
      const { replace } = await import('../commands/roster-replace.ts');
      await replace(rig, sensor, options);
    });
}
