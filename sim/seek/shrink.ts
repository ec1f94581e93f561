/**
 * The smallest drill that still breaks the same rule: fewest steps, plainest steps, roundest times.
 *
 * Every change is tried on the controller itself, so whatever comes out was seen to break it. It works on the
 * written steps and not through the generator: that knows nothing of the moment at which a rule broke, nor
 * that 2 min is a rounder time than 1 min 47 s.
 */
import type { Deed } from './moves.ts';
import type { Plan, PlannedStep } from './plan.ts';

/** When the rule broke, ms; null where the plan does not break it. */
export type Breaks = (plan: Plan) => Promise<number | null>;

export interface Shrunk {
  readonly plan: Plan;
  /** How many drills it took. */
  readonly tries: number;
}

const S = 1000;
const MINUTE = 60 * S;
/** Times are rounded to these, the coarsest first. */
const GRAINS = [MINUTE, 30 * S, 10 * S, S];
const NO_CALLS: Plan['calls'] = { cooling: false, heating: false, fan: false };
/** What a fault can do without, in the order in which it is tried. */
const SPARE_KEYS = ['probability', 'lasts', 'pumpDown'];

/** `plan` breaks the rule at `brokenAtMs`; no more than `triesMax` drills are run. */
export async function shrink(
  plan: Plan,
  brokenAtMs: number,
  breaks: Breaks,
  triesMax: number,
): Promise<Shrunk> {
  let best = plan;
  let tries = 0;
  const take = async (candidate: Plan): Promise<boolean> => {
    if (tries >= triesMax) return false;
    tries += 1;
    const atMs = await breaks(candidate);
    if (atMs === null) return false;
    best = candidate;
    return true;
  };
  await take(cutAfter(best, brokenAtMs));
  await withoutSteps(() => best, take);
  if (!isSame(best.calls, NO_CALLS)) await take({ ...best, calls: NO_CALLS });
  for (let index = 0; index < best.steps.length; index += 1) await plainer(index, () => best, take);
  await shorter(() => best, take);
  return { plan: best, tries };
}

type Take = (candidate: Plan) => Promise<boolean>;

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

/** One relief at a time, until none is left that still breaks it. */
async function plainer(index: number, best: () => Plan, take: Take): Promise<void> {
  for (let left = true; left; ) {
    left = false;
    for (const step of plainerSteps(best().steps[index])) {
      left = await take(withStep(best(), index, step));
      if (left) break;
    }
  }
}

/** Halves the time until nothing shorter breaks; most breaches need the whole of a limit. */
async function shorter(best: () => Plan, take: Take): Promise<void> {
  const { lengthMs } = best();
  const half = Math.ceil(lengthMs / 2 / MINUTE) * MINUTE;
  if (half < lengthMs) await take(cutAfter(best(), half - MINUTE));
}

function withStep(plan: Plan, index: number, step: PlannedStep): Plan {
  const steps = plan.steps.toSpliced(index, 1, step).toSorted((one, other) => one.atMs - other.atMs);
  return { ...plan, steps };
}

/** Each differs from the step in one thing, the greatest relief first. */
function plainerSteps(step: PlannedStep | undefined): readonly PlannedStep[] {
  if (step === undefined) return [];
  const deeds = plainerDeeds(step.deed).map((deed) => ({ ...step, deed }));
  const times = GRAINS.map((grain) => Math.round(step.atMs / grain) * grain)
    .filter((atMs, index, all) => atMs !== step.atMs && all.indexOf(atMs) === index)
    .map((atMs) => ({ ...step, atMs }));
  return [...deeds, ...times.slice(0, 2)];
}

function plainerDeeds(deed: Deed): readonly Deed[] {
  return Object.entries(deed).flatMap(([key, value]) => {
    if (typeof value !== 'object' || value === null) return [];
    return SPARE_KEYS.filter((spare) => spare in value).map((spare) => ({
      [key]: Object.fromEntries(Object.entries(value).filter(([name]) => name !== spare)),
    }));
  });
}

function isSame(one: Plan['calls'], other: Plan['calls']): boolean {
  return one.cooling === other.cooling && one.heating === other.heating && one.fan === other.fan;
}
