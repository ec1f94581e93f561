/** The judge: a trace, the limits of its rig, and the rules to hold it to → one result a rule. */
import { announce } from './announce.ts';
import { ask } from './ask.ts';
import { chain } from './chain.ts';
import type { Case, Definition } from './definition.ts';
import { fire } from './fire.ts';
import { type Ground, groundOf } from './ground.ts';
import { hold } from './hold.ts';
import { latch } from './latch.ts';
import { noNuisance } from './no-nuisance.ts';
import type { JudgedPolicy } from './policy.ts';
import { powerCut } from './power-cut.ts';
import { proveFan } from './prove-fan.ts';
import { remarksOn } from './remarks.ts';
import { identity, implausible, respond, selfFailed, silent } from './respond.ts';
import { resume } from './resume.ts';
import type { RuleId, RuleResult } from './rules.ts';
import { shortCycle } from './short-cycle.ts';
import { start } from './start.ts';
import { recheck, stayOff } from './stay-off.ts';
import type { Trace } from './trace.ts';

export const DEFINITIONS: Readonly<Record<RuleId, Definition>> = {
  ask,
  respond,
  silent,
  'self-failed': selfFailed,
  implausible,
  identity,
  chain,
  'stay-off': stayOff,
  recheck,
  hold,
  'power-cut': powerCut,
  start,
  'prove-fan': proveFan,
  'short-cycle': shortCycle,
  resume,
  'no-nuisance': noNuisance,
  latch,
  announce,
  fire,
};

const MS_PER_S = 1000;

export interface Judgement {
  /** In the order in which the rules were asked for. */
  readonly rules: readonly RuleResult[];
  /** Of the whole drill. */
  readonly remarks: readonly string[];
}

export function judgement(trace: Trace, policy: JudgedPolicy, rules: readonly RuleId[]): Judgement {
  const ground = groundOf(trace, policy);
  return { rules: resultsOf(rules, ground), remarks: remarksOn(ground) };
}

/** The rules alone. */
export function judge(trace: Trace, policy: JudgedPolicy, rules: readonly RuleId[]): readonly RuleResult[] {
  return resultsOf(rules, groundOf(trace, policy));
}

function resultsOf(rules: readonly RuleId[], ground: Ground): readonly RuleResult[] {
  return rules.map((id) => resultOf(id, DEFINITIONS[id], ground));
}

function resultOf(id: RuleId, definition: Definition, ground: Ground): RuleResult {
  const nothing = { id, marginS: null, atMs: null, sensor: null };
  const lacking = definition.lacks(ground);
  if (lacking !== null) return { ...nothing, result: 'not applicable', because: [lacking] };
  const cases = definition.cases(ground);
  const tightest = tightestOf(cases);
  if (tightest === null) {
    return { ...nothing, result: 'not exercised', because: [definition.exercisedWhen] };
  }
  // Margins are whole milliseconds: a rest of floating point decides nothing. Adding zero makes -0 plain.
  const marginMs = Math.round(tightest.marginMs) + 0;
  return {
    id,
    result: marginMs >= 0 ? 'held' : 'broken',
    marginS: marginMs / MS_PER_S,
    atMs: tightest.atMs,
    sensor: tightest.sensor,
    ...(cases.every((one) => one.stoodAlready === true) ? { stoodAlready: true } : {}),
    because: tightest.because(),
  };
}

/** Of cases equally tight the first. */
function tightestOf(cases: readonly Case[]): Case | null {
  let tightest: Case | null = null;
  for (const one of cases) {
    if (tightest === null || one.marginMs < tightest.marginMs) tightest = one;
  }
  return tightest;
}
