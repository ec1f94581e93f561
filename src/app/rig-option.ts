/** The rig and the addresses that a command line names. */
import { join } from 'node:path';
import { type FileProblem, formatProblem, packageRoot, suggestion } from '../files/index.ts';
import { type BusAddress, loadRig, parseAddress, type Rig } from '../rig/index.ts';
import { badFile, EXIT, Stop } from './stop.ts';

export interface LoadedRig {
  readonly rig: Rig;
  readonly warnings: readonly FileProblem[];
}

/** The rig at a path, or the demo; warnings go to standard error, problems end the command. */
export function rigOrStop(path: string | undefined): LoadedRig {
  const file = path ?? join(packageRoot(), 'src/rig/tide-street.rig.yaml');
  const loaded = loadRig(file);
  if (!loaded.ok) throw badFile(loaded.problems);
  for (const warning of loaded.warnings) process.stderr.write(`warning: ${formatProblem(warning)}\n`);
  return { rig: loaded.value, warnings: loaded.warnings };
}

/** `--bus` as given: ADDRESS for the first line, LINE=ADDRESS for any. */
export function busOption(given: readonly string[], rig: Rig): ReadonlyMap<string, BusAddress> {
  const lines = rig.lines.map((line) => line.id);
  const named = new Map<string, BusAddress>();
  for (const text of given) {
    const [, lineGiven, address] = /^(?:([A-Za-z][\w-]*)=)?(.*)$/u.exec(text) ?? [];
    const line = lineGiven ?? lines[0] ?? '';
    if (!lines.includes(line)) {
      throw new Stop(EXIT.usage, `--bus ${text}: there is no line "${line}"; ${suggestion(line, lines)}`);
    }
    const parsed = parseAddress(address ?? '');
    if (typeof parsed === 'string') throw new Stop(EXIT.usage, `--bus ${text}: ${parsed}`);
    named.set(line, parsed);
  }
  return named;
}
