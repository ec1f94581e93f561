/** `completion` on the command line, and the hidden verb that the shells ask for each word. */
import { Argument, type Command } from 'commander';
import { SHELLS, type Shell } from '../completion/shells.ts';

export function completionVerbs(program: Command): void {
  program
    .command('completion')
    .description('a script that teaches your shell to complete verbs, options and values')
    .addArgument(new Argument('<shell>').choices(SHELLS))
    .addHelpText('after', '\nExample:\n  eval "$(leakbench completion bash)"')
    .action(async (shell: Shell) => {
      const { SCRIPTS } = await import('../completion/scripts.ts');
      process.stdout.write(SCRIPTS[shell]);
    });
  program.command('complete [words...]', { hidden: true }).action(async (words: readonly string[]) => {
    const { candidates } = await import('../completion/candidates.ts');
    const found = await candidates(program, words);
    process.stdout.write(found.map((one) => `${one}\n`).join(''));
  });
}
