/** Every verb with its options and its example, as the command line itself knows them. */
import type { Command, Option } from 'commander';
import { code, table } from './markdown.ts';

export function commandsTold(program: Command): string {
  return program.commands.flatMap((verb) => [verb, ...verb.commands].map(told)).join('\n\n');
}

function told(verb: Command): string {
  const options = verb.options.filter(({ hidden }) => !hidden);
  return [
    `### ${code(nameOf(verb))}`,
    sentence(verb.description()),
    ...(options.length === 0 ? [] : [table(['option', 'does', 'default'], options.map(optionRow))]),
    ...exampleOf(verb),
  ].join('\n\n');
}

function nameOf(verb: Command): string {
  const parents: string[] = [];
  for (let one = verb.parent; one !== null; one = one.parent) parents.unshift(one.name());
  return [...parents, verb.name(), ...verb.registeredArguments.map((one) => argument(one))].join(' ');
}

function argument(one: Command['registeredArguments'][number]): string {
  const word = `${one.name()}${one.variadic ? '…' : ''}`;
  return one.required ? word.toUpperCase() : `[${word.toUpperCase()}]`;
}

function optionRow({
  flags,
  description,
  defaultValue,
  defaultValueDescription,
  mandatory,
}: Option): string[] {
  const value: unknown = defaultValue;
  const isNone = value === undefined || (Array.isArray(value) && value.length === 0);
  const preset = defaultValueDescription ?? (isNone ? '' : JSON.stringify(value).replaceAll('"', ''));
  return [code(flags), description, mandatory ? 'needed' : code(preset)];
}

function sentence(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}

/** The example stands behind the help, and is told to whoever listens for it. */
function exampleOf(verb: Command): readonly string[] {
  let help = '';
  const before = verb.configureOutput();
  verb.configureOutput({ ...before, writeOut: (text) => (help += text) });
  verb.outputHelp();
  verb.configureOutput(before);
  const [, example] = /\nExample:\n([\s\S]+)$/u.exec(help) ?? [];
  return example === undefined ? [] : [`\`\`\`sh\n${example.trim()}\n\`\`\``];
}
