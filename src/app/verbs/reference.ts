/** `reference` on the command line. */
import { Argument, type Command } from 'commander';
import { TOPICS, type Topic } from '../reference/topics.ts';

export function referenceVerb(program: Command): void {
  program
    .command('reference')
    .addArgument(new Argument('[topic]', 'one of them; left out, all').choices(TOPICS))
    .description(
      'commands, rules, faults, events, registers, signals and files as Markdown, from the code itself',
    )
    .addHelpText('after', '\nExample:\n  leakbench reference faults > faults.md')
    .action(async (topic: Topic | undefined) => {
      const { reference } = await import('../reference/reference.ts');
      process.stdout.write(reference(program, topic));
    });
}
