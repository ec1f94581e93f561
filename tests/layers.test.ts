/** The check of the layers (`npm run layers`) notices an import that goes the wrong way, and no other. */
import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { packageRoot } from '../src/files/index.ts';

const ROOT = packageRoot();
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
] as const;

let copy: string;

beforeAll(() => {
  copy = mkdtempSync(join(tmpdir(), 'leakbench-layers-'));
  for (const part of ['src', 'sim', '.dependency-cruiser.cjs', 'tsconfig.json', 'package.json']) {
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
