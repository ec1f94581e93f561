/** The script of `completion bash` in a real bash, which asks the built command. */
import { execFileSync, spawnSync } from 'node:child_process';
import { symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import { freshFolder, runToEnd } from '../helpers/bench-process.ts';

/** Says what bash would offer for each line, in brackets, and how it was told to. */
const ASKING = `
source /dev/stdin <<< "$(leakbench completion bash)"
for line in 'leakbench sur' 'leakbench record export --format =' 'leakbench drill test-gas-' \\
  'leakbench drill $(touch trodden)'; do
  read -ra COMP_WORDS <<< "$line"
  COMP_CWORD=$((\${#COMP_WORDS[@]} - 1)) _leakbench
  echo "[\${COMPREPLY[*]}]"
done
complete -p leakbench
`;

test('bash offers verbs, values and drills, files where it gets nothing, and evaluates no word', () => {
  const folder = freshFolder();
  symlinkSync(join(packageRoot(), 'dist/src/app/main.js'), join(folder, 'leakbench'));
  const env = { ...process.env, PATH: `${folder}:${process.env['PATH'] ?? ''}` };
  const said = execFileSync('bash', ['--norc', '-c', ASKING], { cwd: folder, env, encoding: 'utf8' });
  expect(said.split('\n').slice(0, 5)).toEqual([
    '[survey]',
    '[jsonl csv]',
    '[test-gas-coil-a test-gas-coil-b test-gas-grille]',
    '[]',
    'complete -o bashdefault -o default -F _leakbench leakbench',
  ]);
  expect(spawnSync('ls', [folder], { encoding: 'utf8' }).stdout).not.toMatch(/trodden/u);
});

test('another shell is refused with those that there are', async () => {
  const ended = await runToEnd(['completion', 'tcsh']);
  expect(ended).toMatchObject({ code: 2, stdout: '' });
  expect(ended.stderr).toMatch(/bash, zsh, fish/u);
});
