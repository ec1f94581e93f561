/** `check FILE…`: every problem of every file, with file, line and column. */
import { loadDrill } from '../../../sim/drill/index.ts';
import { type FileOutcome, type FileProblem, formatProblem, readTextFile } from '../../files/index.ts';
import { loadRig, type Rig } from '../../rig/index.ts';
import { loadProfileFile } from '../../sensor/index.ts';
import { dayOf } from '../roster/days.ts';
import { overdueIn } from '../roster/overdue.ts';
import { EXIT, Stop } from '../stop.ts';

type Reader = (file: string) => FileOutcome<unknown>;

/**
 * Who reads a file with such a key at the top; the first counts, because a drill also names its rig. Only a
 * drill has a length, by which one is known that forgot to say so.
 */
const READERS: readonly (readonly [string, Reader])[] = [
  ['drill', (file) => loadDrill(file)],
  ['profile', loadProfileFile],
  ['length', (file) => loadDrill(file)],
  ['rig', loadRigToday],
];

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

function loadRigToday(file: string): FileOutcome<Rig> {
  return loadRig(file, (rig) => overdueIn(rig, dayOf(new Date())));
}

function summary(warnings: readonly FileProblem[]): string {
  return warnings.length === 0 ? 'good' : `good, with ${warnings.length} warning(s)`;
}

/** A file that does not say what it is goes to the rig reader, whose problems name what is missing. */
function readerOf(file: string): Reader {
  const read = readTextFile(file);
  if (!read.ok) return loadRigToday;
  const says = ([key]: (typeof READERS)[number]): boolean =>
    new RegExp(`^(?:\\{\\s*)?["']?${key}["']?\\s*:`, 'mu').test(read.text);
  return READERS.find(says)?.[1] ?? loadRigToday;
}
