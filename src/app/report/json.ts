/** `drill --json`: one document, for other programs. Its shape is promised; people have other reports. */
import type { DrillVerdict } from './verdict.ts';

export function reportJson(verdicts: readonly DrillVerdict[]): string {
  return `${JSON.stringify({ drills: verdicts.map(drillOf) }, null, 2)}\n`;
}

function drillOf(one: DrillVerdict) {
  const { name, file, seed, verdict, rules, expectations, trouble, notes, pollReport } = one;
  return {
    name,
    file,
    seed,
    verdict,
    rules: rules.map(({ id, result, marginS, atMs, sensor, because }) => ({
      id,
      result,
      margin: marginS,
      unit: 's',
      atMs,
      sensor,
      because,
    })),
    expectations: expectations.map(({ text, result, because }) => ({ text, result, because })),
    trouble,
    notes,
    ...(pollReport === null ? {} : { pollReport }),
  };
}
