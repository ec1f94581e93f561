/** What makes a drill plainer: others with one thing less or rounder each, the greatest relief first. */
import type { Deed } from './moves.ts';
import type { Plan, PlannedStep } from './planned.ts';
import { grainOf, spanOf, spanText } from './spans.ts';

type Call = keyof Plan['calls'];

const S = 1000;
const MINUTE = 60 * S;
/** Times are rounded to these, the coarsest first. */
const GRAINS = [MINUTE, 30 * S, 10 * S, S];
const CALLS: readonly Call[] = ['cooling', 'heating', 'fan'];
/** What a fault can do without, in the order in which it is tried. */
const SPARE_KEYS = ['probability', 'lasts'];
/** What any other value of the key may become. */
const PLAINEST: Readonly<Record<string, string>> = { level: '40 %LFL', rate: '10 g/s' };
/** A time, of which any rounder one may do. */
const TIME_KEYS = ['lasts', 'cut', 'every'];

/** Without all the steps that do the same: a button held down is many presses. */
export function withoutRepeats(plan: Plan): readonly Plan[] {
  const texts = plan.steps.map(({ deed }) => JSON.stringify(deed));
  const several = new Set(texts.filter((text, index) => texts.indexOf(text) !== index));
  return [...several].map((text) => ({
    ...plan,
    steps: plan.steps.filter((_, index) => texts[index] !== text),
  }));
}

/** Without any call, or without one of several. */
export function fewerCalls(plan: Plan): readonly Plan[] {
  const on = CALLS.filter((call) => plan.calls[call]);
  if (on.length === 0) return [];
  const none = { cooling: false, heating: false, fan: false };
  const others = on.length > 1 ? on.map((call) => ({ ...plan.calls, [call]: false })) : [];
  return [none, ...others].map((calls) => ({ ...plan, calls }));
}

/** A call that a step makes stands from the start instead. */
export function callsFromStart(plan: Plan): readonly Plan[] {
  return plan.steps.flatMap(({ deed }, index) => {
    const started = callsOn(deed);
    if (started.length === 0) return [];
    const calls = { ...plan.calls, ...Object.fromEntries(started.map((call) => [call, true])) };
    return [{ ...plan, calls, steps: plan.steps.toSpliced(index, 1) }];
  });
}

function callsOn({ call }: Deed): readonly Call[] {
  const written = (call ?? {}) as Readonly<Partial<Record<Call, unknown>>>;
  return CALLS.filter((name) => written[name] === 'on');
}

/**
 * All of it sooner, and the rest as long after the first step as before: a minute in, when a rig has passed
 * its self-tests, or at the start.
 */
export function sooner(plan: Plan): readonly Plan[] {
  const firstMs = plan.steps[0]?.atMs ?? 0;
  if (firstMs <= MINUTE) return [];
  return [MINUTE, 0].map((startMs) => ({
    ...plan,
    steps: plan.steps.map((step) => ({ ...step, atMs: step.atMs - firstMs + startMs })),
  }));
}

/** A long wait becomes a minute's; all that comes after it comes sooner by as much. */
export function closer({ steps, ...plan }: Plan): readonly Plan[] {
  return steps.flatMap(({ atMs }, index) => {
    const spareMs = atMs - (steps[index - 1]?.atMs ?? atMs) - MINUTE;
    if (spareMs <= 0) return [];
    const moved = steps.map((step, at) => (at < index ? step : { ...step, atMs: step.atMs - spareMs }));
    return [{ ...plan, steps: moved }];
  });
}

/** Each differs from the step in one thing. */
export function plainerSteps(step: PlannedStep): readonly PlannedStep[] {
  const deeds = plainerDeeds(step.deed).map((deed) => ({ ...step, deed }));
  const times = rounder(step.atMs).map((atMs) => ({ ...step, atMs }));
  return [...deeds, ...times];
}

function plainerDeeds(deed: Deed): readonly Deed[] {
  return Object.entries(deed).flatMap(([key, value]) => {
    if (typeof value !== 'object' || value === null) return [];
    const written = value as Deed;
    const spared = SPARE_KEYS.filter((spare) => spare in written).map((spare) =>
      Object.fromEntries(Object.entries(written).filter(([name]) => name !== spare)),
    );
    return [...spared, ...plainerValues(written)].map((plainer) => ({ [key]: plainer }));
  });
}

function plainerValues(written: Deed): readonly Deed[] {
  const values = Object.entries(PLAINEST)
    .filter(([key, plainest]) => key in written && written[key] !== plainest)
    .map(([key, plainest]) => ({ ...written, [key]: plainest }));
  const times = TIME_KEYS.filter((key) => key in written).flatMap((key) => {
    const rounds = rounder(spanOf(String(written[key]))).filter((round) => round > 0);
    return rounds.map((round) => ({ ...written, [key]: spanText(round) }));
  });
  return [...values, ...times];
}

/** The two roundest times next to one, each on a coarser grain than it. */
function rounder(spanMs: number): readonly number[] {
  const rounded = GRAINS.map((grain) => Math.round(spanMs / grain) * grain);
  const found = rounded.filter((round) => grainOf(round) < grainOf(spanMs));
  return [...new Set(found)].slice(0, 2);
}
