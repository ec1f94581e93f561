/**
 * The check of the layers (`npm run layers`) notices an import that goes the wrong way, and no other; the linter
 * notices a clock or chance in a core, which come without an import.
 */
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ESLint, Linter } from 'eslint';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { packageRoot } from '../src/files/index.ts';

const ROOT = packageRoot();
const pure = createRequire(import.meta.url)('../pure-folders.cjs') as {
  readonly folders: readonly string[];
  readonly shells: readonly string[];
};
const CRUISE = [
  join(ROOT, 'node_modules/dependency-cruiser/bin/dependency-cruise.mjs'),
  '--config',
  '.dependency-cruiser.cjs',
  '--output-type',
  'json',
  'src',
  'sim',
];

interface Cruised {
  readonly summary: {
    readonly totalCruised: number;
    readonly violations: readonly { readonly from: string; readonly rule: { readonly name: string } }[];
  };
}

function cruise(folder: string): Cruised['summary'] {
  const run = spawnSync(process.execPath, CRUISE, {
    cwd: folder,
    encoding: 'utf8',
    maxBuffer: 64 * 1024 * 1024,
  });
  return (JSON.parse(run.stdout) as Cruised).summary;
}

/** Rule, a file that breaks it, and the import by which it does. */
const WRONG = [
  ['src-knows-nothing-of-sim', 'src/supervisor/wrong.ts', '../../sim/world/world.ts', 'World'],
  ['sim-takes-only-shared-ground', 'sim/world/wrong.ts', '../../src/mitigation/index.ts', 'stepMitigation'],
  ['judge-agrees-with-nobody', 'sim/judge/wrong.ts', '../../src/belief/index.ts', 'foldOutcome'],
  ['page-folds-events-only', 'src/page/wrong.ts', '../record/index.ts', 'openRecord'],
  ['cores-are-pure', 'src/belief/wrong.ts', 'node:fs', 'readFileSync'],
  ['lines-know-no-asker', 'src/line/wrong.ts', '../poll/index.ts', 'nextTask'],
  ['procedures-open-no-line', 'src/survey/wrong.ts', '../line/index.ts', 'lineAt'],
] as const;

let copy: string;

beforeAll(() => {
  copy = mkdtempSync(join(tmpdir(), 'leakbench-layers-'));
  for (const part of [
    'src',
    'sim',
    '.dependency-cruiser.cjs',
    'pure-folders.cjs',
    'tsconfig.json',
    'package.json',
  ]) {
    cpSync(join(ROOT, part), join(copy, part), { recursive: true });
  }
  symlinkSync(join(ROOT, 'node_modules'), join(copy, 'node_modules'));
  mkdirSync(join(copy, 'sim/judge'), { recursive: true });
  for (const [, file, from, name] of WRONG) {
    writeFileSync(join(copy, file), `import { ${name} } from '${from}';\nexport const wrong = ${name};\n`);
  }
});

afterAll(() => {
  rmSync(copy, { recursive: true });
});

test('of more than a hundred modules just those break a rule that were made to, each the one it should', () => {
  const { totalCruised, violations } = cruise(copy);
  const found = violations.map(({ from, rule }) => ({ file: from, rule: rule.name }));
  for (const [rule, file] of WRONG) expect(found).toContainEqual({ file, rule });
  expect(new Set(found.map(({ file }) => file))).toEqual(new Set(WRONG.map(([, file]) => file)));
  expect(totalCruised).toBeGreaterThan(100);
});

test('every folder that is called pure is there, and every file of it that is not', () => {
  expect([...pure.folders, ...pure.shells].filter((path) => !existsSync(join(ROOT, path)))).toEqual([]);
});

const IMPURE = [
  'Date.now()',
  'new Date()',
  'performance.now()',
  'Math.random()',
  "Math['random']()",
  'setTimeout(() => 0, 1)',
  'setInterval(() => 0, 1)',
  'globalThis.performance.now()',
  'process.hrtime()',
];

test('the linter notices a clock and chance in a core, and leaves a shell alone', async () => {
  const eslint = new ESLint({ cwd: ROOT });
  const notices = async (file: string): Promise<readonly string[]> => {
    const { rules } = (await eslint.calculateConfigForFile(join(ROOT, file))) as Linter.Config;
    const restricted = Object.entries(rules ?? {}).filter(([name]) => name.startsWith('no-restricted-'));
    return IMPURE.filter(
      (code) => new Linter().verify(code, { rules: Object.fromEntries(restricted) }).length > 0,
    );
  };
  for (const folder of pure.folders) expect(await notices(`${folder}/any.ts`), folder).toEqual(IMPURE);
  for (const file of [...pure.shells, 'src/line/within.ts']) expect(await notices(file), file).toEqual([]);
});
