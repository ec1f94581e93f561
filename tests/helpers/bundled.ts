/** A program for a process of its own, made of a TypeScript file of the tests by esbuild. */
import { mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';
import { afterAll, beforeAll } from 'vitest';
import { packageRoot } from '../../src/files/index.ts';

/** Within the package, so that its own files and its dependencies are found from there. */
const SCRATCH = join(packageRoot(), 'tests/.tmp');

/** The path of the program, which is there while the tests of the calling file run. */
export function bundled(name: string, source: string): string {
  const program = join(SCRATCH, `${name}-${process.pid}.mjs`);
  beforeAll(async () => {
    mkdirSync(SCRATCH, { recursive: true });
    await build({
      entryPoints: [join(packageRoot(), source)],
      outfile: program,
      bundle: true,
      packages: 'external',
      platform: 'node',
      format: 'esm',
      logLevel: 'error',
    });
  });
  afterAll(() => {
    rmSync(program);
  });
  return program;
}
