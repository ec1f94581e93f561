/**
 * The smallest drill that still breaks the same rule: fewest steps, plainest steps, roundest times.
 *
 * Every change is tried on the controller itself, so whatever comes out was seen to break it. It works on the
 * written steps and not through the generator: that knows nothing of the moment at which a rule broke, nor
 * that 2 min is a rounder time than 1 min 47 s.
 */
import type { Plan, PlannedStep } from './planned.ts';
import { callsFromStart, closer, fewerCalls, plainerSteps, sooner, withoutRepeats } from './reliefs.ts';

/** When the rule broke, ms; null where the plan does not break it. */
export type Breaks = (plan: Plan) => Promise<number | null>;

export interface Shrunk {
  readonly plan: Plan;
  /** How many drills it took. */
  readonly tries: number;
}

const MINUTE = 60_000;

/** `plan` breaks the rule at `brokenAtMs`; no more than `triesMax` drills are run. */
export async function shrink(
  plan: Plan,
  brokenAtMs: number,
  breaks: Breaks,
  triesMax: number,
): Promise<Shrunk> {
  let [best, bestAtMs, tries] = [plan, brokenAtMs, 0];
  const take = async (candidate: Plan): Promise<boolean> => {
    if (tries >= triesMax) return false;
    tries += 1;
    const atMs = await breaks(candidate);
    if (atMs === null) return false;
    [best, bestAtMs] = [candidate, atMs];
    return true;
  };
  const now = (): Plan => best;
  await take(cutAfter(best, bestAtMs));
  await allOf(withoutRepeats, now, take);
  await withoutSteps(now, take);
  const hadCalls = best;
  await allOf(fewerCalls, now, take);
  await allOf(callsFromStart, now, take);
  // What undid a call that is no more, or only led up to one, is spare now.
  if (best !== hadCalls) await withoutSteps(now, take);
  const late = best;
  await takeOne(sooner(best), take);
  await allOf(closer, now, take);
  if (best !== late) await take(cutAfter(best, bestAtMs));
  for (let index = 0; index < best.steps.length; index += 1) await plainer(index, now, take);
  await shorter(bestAtMs, now, take);
  return { plan: best, tries };
}

type Take = (candidate: Plan) => Promise<boolean>;

async function takeOne(candidates: readonly Plan[], take: Take): Promise<boolean> {
  for (const candidate of candidates) if (await take(candidate)) return true;
  return false;
}

/** One relief of a kind after the other, until none is left that still breaks it. */
async function allOf(reliefs: (plan: Plan) => readonly Plan[], best: () => Plan, take: Take): Promise<void> {
  while (await takeOne(reliefs(best()), take));
}

/** Ends at the next whole minute after the breach: what came later broke nothing. */
function cutAfter(plan: Plan, brokenAtMs: number): Plan {
  const lengthMs = Math.min(plan.lengthMs, (Math.floor(brokenAtMs / MINUTE) + 1) * MINUTE);
  return { ...plan, lengthMs, steps: plan.steps.filter(({ atMs }) => atMs <= lengthMs) };
}

/** The latest first: what comes late is most often of no account. */
async function withoutSteps(best: () => Plan, take: Take): Promise<void> {
  for (let left = true; left; ) {
    left = false;
    for (let index = best().steps.length - 1; index >= 0; index -= 1) {
      const plan = best();
      if (index >= plan.steps.length) continue;
      if (await take({ ...plan, steps: plan.steps.toSpliced(index, 1) })) left = true;
    }
  }
}

/** One relief of a step at a time, until none is left that still breaks it. */
function plainer(index: number, best: () => Plan, take: Take): Promise<void> {
  const reliefs = (plan: Plan): readonly Plan[] => {
    const step = plan.steps[index];
    return step === undefined ? [] : plainerSteps(step).map((other) => withStep(plan, index, other));
  };
  return allOf(reliefs, best, take);
}

/** To the minute after the breach, then half as long; most breaches need the whole of a limit. */
async function shorter(brokenAtMs: number, best: () => Plan, take: Take): Promise<void> {
  const cut = cutAfter(best(), brokenAtMs);
  if (cut.lengthMs < best().lengthMs) await take(cut);
  const { lengthMs } = best();
  const half = Math.ceil(lengthMs / 2 / MINUTE) * MINUTE;
  if (half < lengthMs) await take(cutAfter(best(), half - MINUTE));
}

function withStep(plan: Plan, index: number, step: PlannedStep): Plan {
  const steps = plan.steps.toSpliced(index, 1, step).toSorted((one, other) => one.atMs - other.atMs);
  return { ...plan, steps };
}
