/** The scripts of `completion` in the real shells, which ask the built command. */
import { execFileSync } from 'node:child_process';
import { readdirSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';
import { freshFolder, runToEnd } from '../helpers/bench-process.ts';
import { requireTool } from '../interop/outside-tools.ts';

/** Says what bash would offer for each line, in brackets, and how it was told to. */
const ASKING_BASH = `
source /dev/stdin <<< "$(leakbench completion bash)"
for line in 'leakbench sur' 'leakbench record export --format =' 'leakbench drill test-gas-' \\
  'leakbench drill $(touch trodden)'; do
  read -ra COMP_WORDS <<< "$line"
  COMP_CWORD=$((\${#COMP_WORDS[@]} - 1)) _leakbench
  echo "[\${COMPREPLY[*]}]"
done
complete -p leakbench
`;

/** Types each line and the Tab key into a zsh on a terminal of its own, and says what the line has become. */
const ASKING_ZSH = `
zmodload zsh/zpty
zpty shell zsh -f -i
zpty -w shell 'autoload -Uz compinit; compinit -u -D; eval "$(leakbench completion zsh)"'
zpty -w shell 'say() { print -r -- "[$BUFFER]" >> said; BUFFER= }; zle -N say; bindkey "^I" complete-word "^X" say'
zpty -w shell 'PROMPT=; print re""ady'
zpty -r -m shell _ '*ready*'
for line in 'leakbench sur' 'leakbench record export --format j' 'leakbench drill test-gas-coil-b' \\
  'leakbench drill own-' 'leakbench drill $(touch trodden)'; do
  zpty -w -n shell "$line"$'\\t\\C-x'
done
until grep -qs trodden said; do sleep 0.1; done
zpty -d shell
cat said
`;

/** Says what fish would offer for each line, in brackets. */
const ASKING_FISH = `
leakbench completion fish | source
for line in 'leakbench sur' 'leakbench record export --format ' 'leakbench drill test-gas-' \\
  'leakbench drill own-' 'leakbench drill $(touch trodden)'
  set found (complete -C $line)
  echo "[$found]"
end
`;

const LONGEST_MS = 60_000;

/** What a shell says that knows our command, in a folder with one file of the user's own, by lines. */
function asked(shell: readonly [string, ...string[]]): readonly string[] {
  const [program, ...options] = shell;
  const folder = freshFolder();
  symlinkSync(join(packageRoot(), 'dist/src/app/main.js'), join(folder, 'leakbench'));
  writeFileSync(join(folder, 'own-drill.yaml'), '');
  const env = { ...process.env, PATH: `${folder}:${process.env['PATH'] ?? ''}` };
  const said = execFileSync(program, options, { cwd: folder, env, encoding: 'utf8', timeout: LONGEST_MS });
  expect(readdirSync(folder), 'a word was evaluated').not.toContain('trodden');
  return said.trimEnd().split('\n');
}

test('bash offers verbs, values and drills, files where it gets nothing, and evaluates no word', () => {
  expect(asked(['bash', '--norc', '-c', ASKING_BASH])).toEqual([
    '[survey]',
    '[jsonl csv]',
    '[test-gas-coil-a test-gas-coil-b test-gas-grille]',
    '[]',
    'complete -o bashdefault -o default -F _leakbench leakbench',
  ]);
});

test('zsh completes verbs, values, drills and files, and evaluates no word', async (context) => {
  await requireTool(context, 'zsh');
  expect(asked(['zsh', '-f', '-c', ASKING_ZSH])).toEqual([
    '[leakbench survey ]',
    '[leakbench record export --format jsonl ]',
    '[leakbench drill test-gas-coil-b ]',
    '[leakbench drill own-drill.yaml ]',
    '[leakbench drill $(touch trodden)]',
  ]);
});

test('fish offers verbs, values, drills and files, and evaluates no word', async (context) => {
  await requireTool(context, 'fish');
  expect(asked(['fish', '--no-config', '-c', ASKING_FISH])).toEqual([
    '[survey]',
    '[csv jsonl]',
    '[test-gas-coil-a test-gas-coil-b test-gas-grille]',
    '[own-drill.yaml]',
    '[]',
  ]);
});

test('another shell is refused with those that there are', async () => {
  const ended = await runToEnd(['completion', 'tcsh']);
  expect(ended).toMatchObject({ code: 2, stdout: '' });
  expect(ended.stderr).toMatch(/bash, zsh, fish/u);
});
