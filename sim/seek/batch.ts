/**
 * The unit of work of a search: some random drills of one focus, made from a seed, run one after the other.
 * Orders and outcomes are plain data; whoever carries an order out gets the same outcome.
 */
import fc from 'fast-check';
import type { Rig } from '../../src/rig/index.ts';
import type { RuleId, RuleResult } from '../judge/rules.ts';
import { type Covered, pairsIn } from './coverage.ts';
import { type FocusOrder, focusOf } from './focus.ts';
import { furtherOf } from './further.ts';
import type { Reached } from './outside.ts';
import { plansOf } from './plan.ts';
import type { Plan } from './planned.ts';
import { shrink } from './shrink.ts';

/** What a controller did in one drill. */
export interface Tried {
  readonly rules: readonly RuleResult[];
  /** Why the controller could not be judged to the end; empty where it was. */
  readonly trouble: readonly string[];
  /** Equal for two runs in which the outputs changed alike. */
  readonly course: string;
  /** Outside states, and events in them. */
  readonly reached: readonly Reached[];
}

export type Try = (plan: Plan) => Promise<Tried>;

export interface BatchOrder {
  readonly seed: number;
  readonly focus: FocusOrder;
  readonly drills: number;
  /** Whether its first drill is run a second time, to see whether the controller does the same again. */
  readonly twice: boolean;
}

/** A rule, or `run` where the controller itself gave up. */
export type Breach = RuleId | 'run';

export interface DrillDone {
  readonly covered: Covered;
  readonly breaches: readonly Breach[];
  /** Not null where a second run took another course. */
  readonly unsteady: Unsteady | null;
}

export interface Unsteady {
  readonly plan: Plan;
  /** What broke in the first run and in the second; either may be empty. */
  readonly outcomes: readonly [readonly Breach[], readonly Breach[]];
}

export async function runBatch(order: BatchOrder, rig: Rig, tryOne: Try): Promise<readonly DrillDone[]> {
  const done: DrillDone[] = [];
  for (const [index, plan] of plansOfBatch(order, rig).entries()) {
    const tried = await tryOne(plan);
    const breaches = breachesOf(tried);
    const again = breaches.length > 0 || (order.twice && index === 0) ? await tryOne(plan) : tried;
    done.push({
      covered: { rules: exercised(tried.rules), pairs: pairsIn(plan), reached: tried.reached },
      breaches,
      unsteady:
        again.course === tried.course ? null : { plan, outcomes: [breaches, breachesOf(again)] as const },
    });
  }
  return done;
}

export interface ShrinkOrder {
  readonly batch: BatchOrder;
  /** Which of its drills. */
  readonly index: number;
  readonly breach: Breach;
  readonly triesMax: number;
}

/** The smallest drill found that breaks what the order names. */
export interface Smallest {
  readonly breach: Breach;
  readonly plan: Plan;
  readonly because: readonly string[];
  readonly sensor: string | null;
  readonly atMs: number | null;
  /** Steps of the drill that was found first. */
  readonly stepsBefore: number;
  readonly tries: number;
}

export async function shrinkFound(order: ShrinkOrder, rig: Rig, tryOne: Try): Promise<Smallest> {
  const { batch, index, breach, triesMax } = order;
  const plan = planOf(batch, index, rig);
  const breaks = async (candidate: Plan): Promise<number | null> => {
    const tried = await tryOne(candidate);
    if (breach === 'run') return tried.trouble.length > 0 ? candidate.lengthMs : null;
    const rule = tried.rules.find(({ id }) => id === breach);
    return rule?.result === 'broken' ? (rule.atMs ?? candidate.lengthMs) : null;
  };
  const brokenAtMs = (await breaks(plan)) ?? plan.lengthMs;
  const { plan: smallest, tries } = await shrink(plan, brokenAtMs, breaks, triesMax);
  const last = await tryOne(smallest);
  const rule = last.rules.find(({ id }) => id === breach);
  return {
    breach,
    plan: smallest,
    because: breach === 'run' ? last.trouble : (rule?.because ?? []),
    sensor: rule?.sensor ?? null,
    atMs: rule?.atMs ?? null,
    stepsBefore: plan.steps.length,
    tries,
  };
}

export function planOf(batch: BatchOrder, index: number, rig: Rig): Plan {
  const plan = plansOfBatch(batch, rig)[index];
  if (plan === undefined) throw new RangeError(`a batch of ${batch.drills} drills has no drill ${index}`);
  return plan;
}

/** Drill `index` of these is what `fc.sample` with the same seed gives there: seed and index replay it. */
function plansOfBatch({ seed, focus, drills }: BatchOrder, rig: Rig): readonly Plan[] {
  const plans = focus.on === 'further' ? furtherOf(rig, focus.from) : plansOf(rig, focusOf(focus));
  return fc.sample(plans, { seed, numRuns: drills });
}

function breachesOf({ rules, trouble }: Tried): readonly Breach[] {
  if (trouble.length > 0) return ['run'];
  return rules.filter(({ result }) => result === 'broken').map(({ id }) => id);
}

function exercised(rules: readonly RuleResult[]): Covered['rules'] {
  return rules
    .filter(({ result }) => result === 'held' || result === 'broken')
    .map(({ id, result, marginS }) => ({ id, result, marginS }));
}
