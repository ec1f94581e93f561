/** A finding as a drill file, ready for `leakbench drill`. */
import { relative } from 'node:path';
import { stringify } from 'yaml';
import { type Finding, type Plan, spanText, type Unsteady } from '../../../sim/seek/index.ts';
import { CAUTION } from '../report/words.ts';

/** Name of its file in the folder of a search. */
export function drillFileName({ breach, seed }: Pick<Finding, 'breach' | 'seed'>): string {
  return `breaks-${breach}-seed-${seed}.drill.yaml`;
}

export function drillFileText(finding: Finding, rigFile: string, folder: string, controller: string): string {
  const { breach, seed, path, afterDrills, stepsBefore, tries, plan, because } = finding;
  const found =
    `Found by leakbench seek --seed ${seed} with ${controller}, after ${afterDrills} drills, path ${path}; ` +
    `${counted(stepsBefore)} came down to ${counted(plan.steps.length)} in ${tries} more drills.`;
  const name = breach === 'run' ? 'The controller gives up' : `Breaks the rule ${breach}`;
  const rules = breach === 'run' ? 'all' : [breach];
  return fileText(found, { name, why: because.join(' '), rules }, plan, rigPath(folder, rigFile));
}

/** A drill in which the controller did not do the same twice. */
export function unsteadyFileText({ plan, outcomes }: Unsteady, rigFile: string, folder: string): string {
  const [one, other] = outcomes.map((broken) => (broken.length === 0 ? 'nothing' : broken.join(', ')));
  const found = `In one run the controller broke ${one ?? ''}, in another of the same drill ${other ?? ''}.`;
  const told = { name: 'Not the same twice', why: found, rules: 'all' };
  return fileText(found, told, plan, rigPath(folder, rigFile));
}

interface Told {
  readonly name: string;
  readonly why: string;
  readonly rules: unknown;
}

function fileText(head: string, { name, why, rules }: Told, plan: Plan, rig: string): string {
  const written = {
    ...{ drill: 1, name, why, rig },
    length: spanText(plan.lengthMs),
    calls: callsOf(plan),
    steps: plan.steps.map(({ atMs, deed }) => ({ at: spanText(atMs), ...deed })),
    rules,
  };
  return `# ${head}\n# ${CAUTION}\n${stringify(written, { lineWidth: 0 })}`;
}

function counted(steps: number): string {
  return steps === 1 ? '1 step' : `${steps} steps`;
}

function rigPath(folder: string, rigFile: string): string {
  const path = relative(folder, rigFile);
  return path.startsWith('.') ? path : `./${path}`;
}

function callsOf({ calls }: Plan): Readonly<Record<string, string>> {
  return Object.fromEntries(Object.entries(calls).map(([call, on]) => [call, on ? 'on' : 'off']));
}
