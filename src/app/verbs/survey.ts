/** `survey` on the command line. */
import type { Command } from 'commander';
import type { SurveyOptions } from '../commands/survey.ts';
import { lineOptions } from './line-options.ts';

export function surveyVerb(program: Command): void {
  lineOptions(program.command('survey <rig>'))
    .description('who answers on the bus, against the plan of the rig; only reads')
    .option('--units <list>', 'the addresses to ask, such as 1-32,200 (default: 1-247)')
    .option('--json', 'one JSON document on standard output')
    .option('--csv <file>', 'write the rows as comma-separated values too')
    .option('--html <file>', 'write a commissioning sheet to print and sign too')
    .addHelpText(
      'after',
      '\nExample:\n  leakbench survey my.rig.yaml --bus tcp://192.168.0.20:502 --html sheet.html',
    )
    .action(async (rig: string, options: SurveyOptions) => {
      const { survey } = await import('../commands/survey.ts');
      await survey(rig, options);
    });
}
