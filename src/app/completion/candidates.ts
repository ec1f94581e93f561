/** What may stand at the end of a command line, read from the command line's own description. */
import type { Command, Option } from 'commander';

type Values = () => Promise<readonly string[]> | readonly string[];

/** Values of options that take others too, so that commander has no list of them. */
const OF_OPTION: Readonly<Record<string, Values>> = {
  '--controller': () => ['builtin', 'external', 'exec:'],
  '--type': async () => Object.keys((await import('../../events/index.ts')).CATALOGUE),
  '--refrigerant': async () =>
    (await import('../../refrigerant/index.ts')).REFRIGERANTS.map(({ name }) => name),
  '--lfl-from': async () => Object.keys((await import('../../refrigerant/index.ts')).SOURCES),
};

/** Names that a verb takes in the place of files. */
const OF_VERB: Readonly<Record<string, Values>> = {
  drill: async () => [...(await import('../../../sim/drill/index.ts')).shippedFiles().keys()],
};

/**
 * `words`: those after the command's name, the last one up to the cursor. Nothing comes back where the shell
 * should offer files.
 */
export async function candidates(program: Command, words: readonly string[]): Promise<readonly string[]> {
  // A shell that breaks words at "=" hands it over as a word of its own.
  const plain = words.filter((word, at) => word !== '=' || at === words.length - 1);
  const before = plain.slice(0, -1);
  const last = plain.at(-1) ?? '';
  const partial = last === '=' ? '' : last;
  const { command, open } = walked(program, before);
  const [, joined, value] = /^(--[^=]+=)(.*)$/u.exec(partial) ?? [];
  if (joined !== undefined) {
    const option = optionOf(command, joined.slice(0, -1));
    const values = option === undefined ? [] : await valuesOf(option);
    return values.filter((one) => one.startsWith(value ?? '')).map((one) => joined + one);
  }
  const known = open === null ? await wordsOf(command, partial) : await valuesOf(open);
  return known.filter((one) => one.startsWith(partial));
}

/** The command that the words have led to, and the option whose value comes next. */
function walked(program: Command, words: readonly string[]): { command: Command; open: Option | null } {
  let command = program;
  let open: Option | null = null;
  for (const word of words) {
    if (open !== null) open = null;
    else if (word.startsWith('-')) open = takesNext(optionOf(command, word));
    else command = command.commands.find((one) => one.name() === word) ?? command;
  }
  return { command, open };
}

function takesNext(option: Option | undefined): Option | null {
  return option === undefined || option.isBoolean() ? null : option;
}

function optionOf(command: Command, word: string): Option | undefined {
  return optionsOf(command).find(({ long, short }) => long === word || short === word);
}

function optionsOf(command: Command): readonly Option[] {
  return command.createHelp().visibleOptions(command);
}

async function valuesOf({ argChoices, long }: Option): Promise<readonly string[]> {
  return argChoices ?? (await OF_OPTION[long ?? '']?.()) ?? [];
}

async function wordsOf(command: Command, partial: string): Promise<readonly string[]> {
  if (partial.startsWith('-')) return optionsOf(command).flatMap(({ long }) => long ?? []);
  const verbs = command.createHelp().visibleCommands(command);
  if (verbs.length > 0) return verbs.map((one) => one.name());
  return command.registeredArguments[0]?.argChoices ?? (await OF_VERB[command.name()]?.()) ?? [];
}
