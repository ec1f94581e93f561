/** `drill --json`: one document, for other programs. Its shape is promised; people have other reports. */
import { packageVersion } from '../package-version.ts';
import { runAgain } from './run-again.ts';
import type { DrillVerdict } from './verdict.ts';
import { CAUTION } from './words.ts';

export function reportJson(verdicts: readonly DrillVerdict[]): string {
  const document = { caution: CAUTION, leakbench: packageVersion(), drills: verdicts.map(drillOf) };
  return `${JSON.stringify(document, null, 2)}\n`;
}

function drillOf(one: DrillVerdict) {
  const { name, file, seed, controller, host, verdict, trouble, pollReport } = one;
  const { rules, expectations, notes } = judgedResults(one);
  return {
    name,
    file,
    seed,
    controller,
    host,
    runAgain: runAgain(one),
    verdict,
    rules,
    expectations,
    trouble,
    notes,
    ...(pollReport === null ? {} : { pollReport }),
  };
}

/** What was judged, as other programs read it: here, and of a bench that played the drill itself. */
export function judgedResults({ rules, expectations, notes }: DrillVerdict) {
  return {
    rules: rules.map(({ id, result, marginS, atMs, sensor, because }) => ({
      id,
      result,
      margin: marginS,
      unit: 's' as const,
      atMs,
      sensor,
      because: [...because],
    })),
    expectations: expectations.map(({ text, result, because }) => ({ text, result, because: [...because] })),
    notes: [...notes],
  };
}
