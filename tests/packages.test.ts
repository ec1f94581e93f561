/** What a bench brings along: the licence of every package that runs with it, and a list that names them all. */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { packageRoot } from '../src/files/index.ts';

/** Each lets anybody use, change and pass on, and asks for no more than its notice. */
const LICENCES = ['0BSD', 'Apache-2.0', 'BlueOak-1.0.0', 'BSD-2-Clause', 'BSD-3-Clause', 'ISC', 'MIT'];

interface Locked {
  readonly version: string;
  readonly license?: string;
  readonly dev?: boolean;
}

interface Bill {
  readonly bomFormat: string;
  readonly components: readonly { readonly purl: string }[];
}

const LOCK = JSON.parse(readFileSync(join(packageRoot(), 'package-lock.json'), 'utf8')) as {
  readonly packages: Readonly<Record<string, Locked>>;
};
const FOLDER = 'node_modules/';

const running = Object.entries(LOCK.packages)
  .filter(([path, { dev = false }]) => path !== '' && !dev)
  .map(([path, locked]) => ({ name: path.slice(path.lastIndexOf(FOLDER) + FOLDER.length), ...locked }));

test('every package that runs with the bench has a licence that asks for its notice alone', () => {
  expect(running.length).toBeGreaterThan(100);
  expect(running.filter(({ license = 'none told' }) => !LICENCES.includes(license))).toEqual([]);
});

test('npm run sbom names every one of them, each in its version', () => {
  const told = execFileSync('npm', ['run', '--silent', 'sbom'], {
    cwd: packageRoot(),
    encoding: 'utf8',
    maxBuffer: 2 ** 26,
  });
  const { bomFormat, components } = JSON.parse(told) as Bill;
  expect(bomFormat).toBe('CycloneDX');
  const named = new Set(components.map(({ purl }) => decodeURIComponent(purl)));
  const purls = running.map(({ name, version }) => `pkg:npm/${name}@${version}`);
  expect(purls.filter((purl) => !named.has(purl))).toEqual([]);
});
