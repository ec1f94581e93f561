/** The package as a stranger gets it. */
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { packageRoot } from '../../src/files/index.ts';
import { freshFolder } from './bench-process.ts';

export interface Packed {
  readonly tarball: string;
  /** Paths in it, sorted. */
  readonly files: readonly string[];
}

/** Packs what is built now. */
export function packedNow(): Packed {
  const folder = freshFolder();
  const options = ['--ignore-scripts', '--json', '--pack-destination', folder];
  const said = execFileSync('npm', ['pack', ...options], { cwd: packageRoot(), encoding: 'utf8' });
  const [one] = JSON.parse(said) as [{ filename: string; files: readonly { path: string }[] }];
  return { tarball: join(folder, one.filename), files: one.files.map(({ path }) => path).toSorted() };
}
