/** `record` on the command line. */
import { type Command, InvalidArgumentError, Option } from 'commander';
import type { ExportOptions, RecordFolder } from '../commands/record-export.ts';
import { collect } from './line-options.ts';

export function recordVerb(program: Command): void {
  const record = program
    .command('record')
    .description('what benches have recorded: list, export, verify; only reads, also while a bench writes')
    .addHelpText('after', '\nExample:\n  leakbench record verify --data ./.leakbench');
  ofFolder(record.command('list'))
    .description('the records in a folder, and in the folders in it')
    .option('--json', 'one JSON document on standard output')
    .addHelpText('after', '\nExample:\n  leakbench record list')
    .action(async (options: RecordFolder) => {
      const { recordList } = await import('../commands/record-list.ts');
      recordList(options);
    });
  exportCommand(record);
  ofFolder(record.command('verify'))
    .description('whether a record is whole: exit code 0 for sound, 1 for not')
    .option('--json', 'one JSON document on standard output')
    .addHelpText('after', '\nExample:\n  leakbench record verify --data ./.leakbench/sim')
    .action(async (options: RecordFolder) => {
      const { recordVerify } = await import('../commands/record-verify.ts');
      recordVerify(options);
    });
}

function exportCommand(record: Command): void {
  ofFolder(record.command('export'))
    .description('events of a record, in order, as they were streamed')
    .addOption(
      new Option('--format <format>', 'one event a line as JSON, or a table')
        .choices(['jsonl', 'csv'])
        .default('jsonl'),
    )
    .option('--after <sequence>', 'begin behind this event', sequence, 0)
    .option(
      '--type <type>',
      'only such: mitigation.changed, or all of mitigation; may be repeated',
      collect,
      [],
    )
    .option('--from <time>', 'not before this time, such as 2026-03-01 or 2026-03-01T08:00:00Z')
    .option('--to <time>', 'only before this time')
    .option('--out <file>', 'write into this file (default: standard output)')
    .addHelpText(
      'after',
      '\nExample:\n  leakbench record export --format csv --type mitigation --out mitigation.csv',
    )
    .action(async (options: ExportOptions) => {
      const { recordExport } = await import('../commands/record-export.ts');
      await recordExport(options);
    });
}

function ofFolder(command: Command): Command {
  return command.option('--data <dir>', 'folder of the record', './.leakbench');
}

function sequence(text: string): number {
  const value = Number(text);
  if (/^\d+$/u.test(text) && Number.isSafeInteger(value)) return value;
  throw new InvalidArgumentError('It takes the sequence of an event: a whole number, 0 for the beginning.');
}
