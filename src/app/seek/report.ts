/** What a search found and what it covered, for a terminal and for other programs. */
import { RULE_IDS, RULES } from '../../../sim/judge/rules.ts';
import { type Coverage, isEvent, type RuleCoverage, type Sought } from '../../../sim/seek/index.ts';
import { wrapped } from '../report/text-lines.ts';
import { aligned, type TextOptions, textSheet } from '../report/text-sheet.ts';
import { CAUTION, marginText } from '../report/words.ts';

export interface SeekResult extends Sought {
  readonly rigFile: string;
  readonly controller: string;
  readonly seed: number;
  readonly seconds: number;
  /** Path of the drill file of each finding, in their order. */
  readonly files: readonly string[];
  /** Path of the drill in which the controller did not do the same twice; null where it always did. */
  readonly unsteadyFile: string | null;
  readonly interrupted: boolean;
}

export function seekJson(result: SeekResult): string {
  const { coverage, findings, files, unsteady, unsteadyFile, pairsPossible, seconds } = result;
  const document = {
    caution: CAUTION,
    rig: result.rigFile,
    controller: result.controller,
    seed: result.seed,
    drills: coverage.drills,
    drillsPerSecond: rateOf(coverage.drills, seconds),
    interrupted: result.interrupted,
    findings: findings.map((one, index) => ({
      rule: one.breach,
      file: files[index],
      steps: one.plan.steps.length,
      seed: one.seed,
      path: one.path,
      afterDrills: one.afterDrills,
      sensor: one.sensor,
      atMs: one.atMs,
      because: one.because,
    })),
    unsteady: unsteady === null ? null : { file: unsteadyFile, outcomes: unsteady.outcomes },
    coverage: {
      rules: RULE_IDS.map((id) => ruleJson(id, coverage.rules.get(id))),
      pairs: { seen: coverage.pairs.size, possible: pairsPossible },
      outside: outsideJson(coverage),
    },
  };
  return `${JSON.stringify(document, null, 2)}\n`;
}

function ruleJson(id: string, rule: RuleCoverage | undefined) {
  const { exercised = 0, broken = 0, leastMarginS = null } = rule ?? {};
  return { id, exercised, broken, leastMargin: leastMarginS, unit: 's' };
}

/** How many drills reached each state and each event in one, the most frequent first. */
function outsideJson({ reached }: Coverage) {
  const all = [...reached]
    .map(([what, drills]) => ({ what, drills }))
    .toSorted((one, other) => other.drills - one.drills);
  return {
    states: all.filter(({ what }) => !isEvent(what)),
    events: all.filter(({ what }) => isEvent(what)),
  };
}

export function seekText(result: SeekResult, options: TextOptions): string {
  const { paint, width } = textSheet(options);
  const { coverage, findings, files, unsteady, unsteadyFile, pairsPossible, seconds } = result;
  const rate = rateOf(coverage.drills, seconds);
  const head = `${coverage.drills} drills in ${Math.round(seconds)} s, ${rate} a second; seed ${result.seed}`;
  const rows = RULE_IDS.map((id) => {
    const { exercised = 0, leastMarginS = null } = coverage.rules.get(id) ?? {};
    return [id, String(exercised), marginText(leastMarginS), RULES[id].words];
  });
  const table = aligned([['rule', 'exercised', 'least margin', 'a controller'], ...rows], (column) =>
    [1, 2].includes(column),
  );
  return [
    paint('bold', head),
    ...(result.interrupted ? ['Interrupted: this is what was found until then.'] : []),
    '',
    ...findings.flatMap((one, index) => [
      paint(['bold', 'red'], `broken: ${one.breach}`),
      ...wrapped(one.because.join(' '), width, '  '),
      `  ${files[index] ?? ''} (${one.plan.steps.length} of ${one.stepsBefore} steps left)`,
      '',
    ]),
    ...(unsteady === null ? [] : unsteadyText(unsteady.outcomes, unsteadyFile, width)),
    ...(findings.length === 0 && unsteady === null ? ['Nothing broke.', ''] : []),
    ...table.map((line) => line.trimEnd()),
    '',
    `Pairs of faults that stood together: ${coverage.pairs.size} of ${pairsPossible}.`,
    `Outside states reached: ${coverage.outside.states}; kinds of event in them: ${coverage.outside.events}.`,
    ...wrapped(CAUTION, width),
    '',
  ].join('\n');
}

function unsteadyText(
  outcomes: readonly (readonly string[])[],
  file: string | null,
  width: number,
): readonly string[] {
  const told = outcomes.map((broken) => (broken.length === 0 ? 'held all' : `broke ${broken.join(', ')}`));
  const sentence =
    `The controller did not do the same twice: in one run of the same drill it ${told[0] ?? ''}, ` +
    `in the next it ${told[1] ?? ''}. What it breaks now and then cannot be shrunk.`;
  return [...wrapped(sentence, width), `  ${file ?? ''}`, ''];
}

function rateOf(drills: number, seconds: number): number {
  return Math.round((drills / Math.max(seconds, 0.001)) * 10) / 10;
}
