/** `figures` on the command line. */
import { type Command, Option } from 'commander';
import type { FiguresOptions } from '../commands/figures.ts';

export function figuresVerb(program: Command): void {
  program
    .command('figures [rig]')
    .description(
      'charge, room and airflow figures by named standard, with sources, beside what the bench computes; no proof of compliance',
    )
    .option('--refrigerant <name>', 'without a rig: the refrigerant, such as R-32')
    .option('--lfl-from <id>', 'without a rig: the source whose LFL is followed (default: rd552)')
    .option('--charge <mass>', 'without a rig: what can leak at once, such as 4.2kg')
    .option('--area <area>', 'without a rig: floor of the room, such as 24m2')
    .option('--height <length>', 'without a rig: height of the room, such as 2.5m')
    .option('--outside-air <flow>', 'without a rig: outside air, such as 120m3/h or 2/h (default: none)')
    .option('--airflow <flow>', 'without a rig: what the fan of the unit moves, such as 900m3/h')
    .addOption(
      new Option('--install <how>', 'how the unit is installed; without it every height is shown').choices([
        'floor',
        'window',
        'wall',
        'ceiling',
      ]),
    )
    .option('--celsius <number>', 'temperature of the conversions', '25')
    .option('--kilopascal <number>', 'pressure of the conversions', '101.325')
    .addOption(
      new Option('--units <system>', 'SI or inch-pound (default: by the locale; en_US is ip)').choices([
        'si',
        'ip',
      ]),
    )
    .option('--json', 'one JSON document on standard output')
    .option('--html <file>', 'write a sheet with the curves too')
    .addHelpText(
      'after',
      '\nExamples:\n  leakbench figures my.rig.yaml --install ceiling --html figures.html\n' +
        '  leakbench figures --refrigerant R-454B --charge 9.3lb --area 258ft2 --height 8ft --install wall',
    )
    .action(async (rig: string | undefined, options: FiguresOptions) => {
      const { figures } = await import('../commands/figures.ts');
      await figures(rig, options);
    });
}
