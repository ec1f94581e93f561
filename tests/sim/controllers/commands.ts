/** The sample controllers as commands, each in one file that node runs as it is. */
import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { buildSync } from 'esbuild';
import { packageRoot } from '../../../src/files/index.ts';

const SAMPLES = join(packageRoot(), 'sim/controllers');

export const PYTHON = `python3 ${join(SAMPLES, 'minimal.py')}`;

/** Bundled from the source, so that a test never runs what was built before. */
export function nodeCommand(name: 'minimal' | 'modbus'): string {
  const outfile = join(freshFolder(), `${name}.mjs`);
  buildSync({
    entryPoints: [join(SAMPLES, `${name}.ts`)],
    outfile,
    bundle: true,
    platform: 'node',
    format: 'esm',
  });
  return `${process.execPath} ${outfile}`;
}

export function freshFolder(): string {
  return mkdtempSync(join(tmpdir(), 'leakbench-sample-'));
}
