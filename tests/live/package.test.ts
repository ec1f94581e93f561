/** What is in the package, and that it is enough: it runs from there, with nothing of this folder beside it. */
import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync, symlinkSync } from 'node:fs';
import { join } from 'node:path';
import { publint } from 'publint';
import { beforeAll, expect, test } from 'vitest';
import { packageVersion } from '../../src/app/package-version.ts';
import { packageRoot } from '../../src/files/index.ts';
import { freshFolder } from '../helpers/bench-process.ts';
import { type Packed, packedNow } from '../helpers/packed.ts';

let packed: Packed;
/** Its files, beside the installed packages of this folder. */
let unpacked: string;

beforeAll(() => {
  packed = packedNow();
  const folder = freshFolder();
  execFileSync('tar', ['-xzf', packed.tarball, '-C', folder]);
  unpacked = join(folder, 'package');
  symlinkSync(join(packageRoot(), 'node_modules'), join(unpacked, 'node_modules'));
});

const run = (...words: readonly string[]): string =>
  execFileSync(process.execPath, ['dist/src/app/main.js', ...words], { cwd: unpacked, encoding: 'utf8' });

const VERSION = packageVersion();

/** The kinds of files that are of use to somebody, by where they are. */
const WANTED = [
  /^(?:LICENSE|README\.md|package\.json)$/u,
  /^dist\/.*\.js$/u,
  /^dist\/page\/.*\.(?:html|css|svg)$/u,
  /^src\/.*\.(?:rig|profile)\.yaml$/u,
  /^src\/(?:page\/style|app)\/.*\.css$/u,
  /^sim\/.*\.(?:drill|rig)\.yaml$/u,
  /^(?:sim|src)\/.*\.schema\.json$/u,
  /^sim\/controllers\/.*\.(?:ts|py)$/u,
  /^src\/guides\/(?:[a-z]+\.md|ci\/[a-z-]+\.yml)$/u,
];

test('holds what is of use, and nothing else: no tests, no types, no maps', () => {
  expect(packed.files.filter((file) => !WANTED.some((kind) => kind.test(file)))).toEqual([]);
  expect(WANTED.filter((kind) => !packed.files.some((file) => kind.test(file)))).toEqual([]);
});

test('holds every drill, lesson, rig, profile and sample controller that there is', () => {
  const folders = ['sim/drill/library', 'sim/drill/lessons', 'src/sensor/profiles', 'sim/controllers'];
  const there = folders.flatMap((folder) =>
    readdirSync(join(packageRoot(), folder)).map((file) => `${folder}/${file}`),
  );
  expect(there.filter((file) => !packed.files.includes(file) && !file.includes('__pycache__'))).toEqual([]);
});

test('is a command and nothing to import: what its description promises is there', async () => {
  const bytes = Uint8Array.from(readFileSync(packed.tarball));
  const { messages } = await publint({ strict: true, pack: { tarball: bytes.buffer } });
  expect(messages).toEqual([]);
  const { bin, exports, types, main } = JSON.parse(
    readFileSync(join(unpacked, 'package.json'), 'utf8'),
  ) as Record<string, unknown>;
  expect({ bin, exports, types, main }).toEqual({
    bin: { leakbench: 'dist/src/app/main.js' },
    exports: { './package.json': './package.json' },
  });
});

test('says its version, and runs a shipped drill by its name', () => {
  expect(run('--version')).toBe(`${VERSION}\n`);
  expect(run('drill', 'test-gas-coil-a')).toMatch(/^HELD/u);
});

test('README tells the changes, those of this version first', () => {
  const changes = readFileSync(join(unpacked, 'README.md'), 'utf8').split('\n## Changes\n')[1] ?? '';
  const [newest] = changes.matchAll(/^### (\S+) - (?:unreleased|\d{4}-\d\d-\d\d)$/gmu);
  expect(newest?.[1]).toBe(VERSION);
});
