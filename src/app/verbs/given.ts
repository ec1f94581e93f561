/** Which options stand on the command line itself: a default is nobody's wish. */
import type { Command } from 'commander';

/** Their flags, in the order of the help; `names` as commander calls them. */
export function given(command: Command, names: readonly string[]): readonly string[] {
  const isGiven = (name: string): boolean =>
    names.includes(name) && command.getOptionValueSource(name) === 'cli';
  return command.options
    .filter((option) => isGiven(option.attributeName()))
    .map(({ long, flags }) => long ?? flags);
}
