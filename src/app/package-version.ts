import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { packageRoot } from '../files/package-root.ts';

export function packageVersion(): string {
  const parsed: unknown = JSON.parse(readFileSync(join(packageRoot(), 'package.json'), 'utf8'));
  return (parsed as { version: string }).version;
}
