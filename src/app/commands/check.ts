/** `check FILE…`: every problem of every file, with file, line and column. */
import { readFileSync } from 'node:fs';
import { parseDocument } from 'yaml';
import { type FileOutcome, type FileProblem, formatProblem } from '../../files/index.ts';
import { loadRig } from '../../rig/index.ts';
import { loadProfileFile } from '../../sensor/index.ts';
import { EXIT, Stop } from '../stop.ts';

/** What a file says it is by its first key, and who reads it. */
const READERS: Readonly<Record<string, (file: string) => FileOutcome<unknown>>> = {
  rig: loadRig,
  profile: loadProfileFile,
};

export function check(files: readonly string[], json: boolean): void {
  const results = files.map((file) => ({ file, outcome: readerOf(file)(file) }));
  const problems = results.flatMap(({ outcome }) => (outcome.ok ? [] : outcome.problems));
  const warnings = results.flatMap(({ outcome }) => (outcome.ok ? outcome.warnings : []));
  if (json) {
    process.stdout.write(`${JSON.stringify({ ok: problems.length === 0, problems, warnings }, null, 2)}\n`);
  } else {
    for (const { file, outcome } of results)
      if (outcome.ok) process.stdout.write(`${file}: ${summary(outcome.warnings)}\n`);
    for (const warning of warnings) process.stderr.write(`warning: ${formatProblem(warning)}\n`);
  }
  if (problems.length === 0) return;
  throw new Stop(EXIT.usage, json ? '' : problems.map(formatProblem).join('\n'));
}

function summary(warnings: readonly FileProblem[]): string {
  return warnings.length === 0 ? 'good' : `good, with ${warnings.length} warning(s)`;
}

/** A file that does not say what it is goes to the rig reader, whose problems name what is missing. */
function readerOf(file: string): (file: string) => FileOutcome<unknown> {
  try {
    const plain: unknown = parseDocument(readFileSync(file, 'utf8')).toJS({ maxAliasCount: 0 });
    const keys = typeof plain === 'object' && plain !== null ? Object.keys(plain) : [];
    const kind = keys.find((key) => Object.hasOwn(READERS, key));
    return READERS[kind ?? 'rig'] ?? loadRig;
  } catch {
    return loadRig;
  }
}
