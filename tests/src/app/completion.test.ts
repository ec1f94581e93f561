/** What a shell is offered after each word: read from the command line itself, so that nothing is listed twice. */
import { expect, test } from 'vitest';
import { shippedFiles } from '../../../sim/drill/index.ts';
import { commandLine } from '../../../src/app/command-line.ts';
import { candidates } from '../../../src/app/completion/candidates.ts';
import { SCRIPTS } from '../../../src/app/completion/scripts.ts';

const offered = (...words: readonly string[]): Promise<readonly string[]> => candidates(commandLine(), words);

test('every verb that help lists, and no other', async () => {
  const program = commandLine();
  const listed = program.createHelp().visibleCommands(program);
  expect(await offered('')).toEqual(listed.map((verb) => verb.name()));
  expect(await offered('su')).toEqual(['supervise', 'survey']);
  expect(await offered('complete')).toEqual([]);
});

test('the options of the verb', async () => {
  expect(await offered('drill', '--contr')).toEqual(['--controller', '--controller-power']);
  expect(await offered('survey', 'my.rig.yaml', '--a')).toEqual(['--alone']);
  expect(await offered('record', 'export', '--fo')).toEqual(['--format']);
});

test('the values of an option that has a list, joined by an equals sign or not', async () => {
  expect(await offered('record', 'export', '--format', '')).toEqual(['jsonl', 'csv']);
  expect(await offered('record', 'export', '--format', '=')).toEqual(['jsonl', 'csv']);
  expect(await offered('record', 'export', '--format', '=', 'c')).toEqual(['csv']);
  expect(await offered('record', 'export', '--format=c')).toEqual(['--format=csv']);
  expect(await offered('drill', '--controller', 'e')).toEqual(['external', 'exec:']);
  expect(await offered('record', 'export', '--type', 'mitigation.c')).toEqual(['mitigation.changed']);
  expect(await offered('figures', '--refrigerant', 'R-454B')).toEqual(['R-454B']);
  expect(await offered('figures', '--lfl-from', 'rd552-')).toEqual(['rd552-if04']);
});

test('the names of the shipped drills, after other words too', async () => {
  expect(await offered('drill', '')).toEqual([...shippedFiles().keys()]);
  expect(await offered('drill', '--live', '--speed', '10', 'fire')).toEqual(['fire', 'fire-and-gas']);
});

test('nothing where the shell has files to offer, or knows better', async () => {
  expect(await offered('check', '')).toEqual([]);
  expect(await offered('drill', './my')).toEqual([]);
  expect(await offered('drill', '--seed', '')).toEqual([]);
  expect(await offered('drill', '--no-such=')).toEqual([]);
});

test('a script for each shell that the verb names', async () => {
  expect(await offered('completion', '')).toEqual(Object.keys(SCRIPTS));
});
