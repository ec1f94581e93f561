/** `budget` on the command line. */
import type { Command } from 'commander';
import type { BudgetOptions } from '../commands/budget.ts';
import { wholeNumber } from './whole-number.ts';

/** More silent sensors than that are no fault of a few, but a line that is down. */
const SILENT_MAX = 20;

export function budgetVerb(program: Command): void {
  program
    .command('budget [rig]')
    .description(
      'bus time of a cycle and worst time from gas to mitigation, item by item, against the limits; no proof of compliance',
    )
    .option('--silent <n>', 'sensors that are silent at worst', wholeNumber(0, SILENT_MAX), 1)
    .option('--network <time>', 'what the network adds to a request, there and back, such as 5ms', '0ms')
    .option('--refresh <time>', 'how old a sensor’s registers may be, from its data sheet, such as 1s', '0ms')
    .option('--json', 'one JSON document on standard output')
    .option('--html <file>', 'write a sheet with the stacked bar too')
    .addHelpText('after', '\nExample:\n  leakbench budget my.rig.yaml --silent 2 --html budget.html')
    .action(async (rig: string | undefined, options: BudgetOptions) => {
      const { budget } = await import('../commands/budget.ts');
      await budget(rig, options);
    });
}
