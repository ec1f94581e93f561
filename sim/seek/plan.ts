/**
 * Random drills about a focus. Every step stands at a time of its own, so that leaving one out moves no
 * other.
 */
import fc from 'fast-check';
import type { Rig } from '../../src/rig/index.ts';
import { ms } from '../../src/units/index.ts';
import type { Drill } from '../drill/drill.ts';
import { readStep } from '../drill/step.ts';
import { RULE_IDS } from '../judge/rules.ts';
import { type Deeds, deedsOf } from './deeds.ts';
import type { Focus } from './focus.ts';
import type { Move } from './moves.ts';
import { inOrder, type Plan } from './planned.ts';

const S = 1000;
const MINUTE = 60 * S;
/** The rig has passed its self-tests by then and serves its calls. */
const SETTLED_MS = MINUTE;
const FREE_STEPS_MAX = 4;
/** A step that the focus asks for is left out once in so many drills, and whenever shrinking does without. */
const FOCUS_MISSED = 50;

const CALLS: readonly Drill['calls'][] = [
  { cooling: true, heating: false, fan: false },
  { cooling: false, heating: false, fan: false },
  { cooling: false, heating: true, fan: false },
  { cooling: true, heating: true, fan: false },
  { cooling: false, heating: false, fan: true },
];

export function plansOf(rig: Rig, focus: Focus): fc.Arbitrary<Plan> {
  const deeds = deedsOf(rig);
  const at = momentsOf(deeds);
  const asked = focus.moves(deeds).map((move) => fc.option(fc.tuple(at, move), { freq: FOCUS_MISSED }));
  const free = fc.array(fc.tuple(at, deeds.any), { maxLength: FREE_STEPS_MAX });
  return fc
    .record({
      lengthMs: fc.constantFrom(...lengthsOf(rig, focus)),
      calls: fc.constantFrom(
        ...CALLS.filter(({ cooling, heating }) => focus.called !== true || cooling || heating),
      ),
      asked: fc.tuple(...asked),
      free,
      again: fc.constantFrom(...(focus.repeats === true ? [0, 1, 2, 3] : [0])),
      everyMs: fc.constantFrom(...restsOf(rig)),
    })
    .map(({ lengthMs, calls, asked: must, free: other, again, everyMs }) => {
      const first = must.filter((step) => step !== null);
      const steps = [...repeated(first, again, everyMs), ...other].flatMap(([atMs, move]) =>
        move.map(([afterMs, deed]) => ({ atMs: atMs + afterMs, deed })),
      );
      const allMs = lengthMs + again * everyMs;
      return { lengthMs: allMs, calls, steps: inOrder(steps, allMs) };
    });
}

/** What happens before anything has settled is as good a question; most drills ask the others. */
function momentsOf({ spans }: Deeds): fc.Arbitrary<number> {
  const span = fc.constantFrom(...spans);
  return fc.oneof(
    { arbitrary: span.map((after) => SETTLED_MS + after), weight: 5 },
    { arbitrary: fc.tuple(span, span).map(([one, other]) => SETTLED_MS + one + other), weight: 3 },
    { arbitrary: span, weight: 1 },
  );
}

/** Long enough for a hold that begins some minutes in, and for what must come after it. */
function lengthsOf(rig: Rig, focus: Focus): readonly number[] {
  const whole = wholeMs(rig, 2 * SETTLED_MS);
  const holdMs = minutes(rig.policy.holdMs);
  return focus.long === true ? [whole, whole + holdMs, 2 * whole] : [whole];
}

/** The end of a drill in which something happens so late: the hold and the restart after it are seen. */
export function wholeMs({ policy }: Rig, lastMs: number): number {
  return minutes(lastMs + policy.holdMs + policy.resumeWithinMs);
}

function minutes(spanMs: number): number {
  return Math.ceil(spanMs / MINUTE) * MINUTE;
}

/** A disturbance that comes again does so when a hold has passed, or a restart after it, or well after. */
function restsOf({ policy }: Rig): readonly number[] {
  const { holdMs, resumeWithinMs } = policy;
  return [minutes(holdMs + resumeWithinMs), minutes(holdMs + MINUTE), minutes(2 * holdMs + resumeWithinMs)];
}

function repeated(
  steps: readonly (readonly [number, Move])[],
  again: number,
  everyMs: number,
): readonly (readonly [number, Move])[] {
  return Array.from({ length: again + 1 }, (_, time) =>
    steps.map(([atMs, move]) => [atMs + time * everyMs, move] as const),
  ).flat();
}

/** The plan as a drill that can be run; throws where a step is none of this rig’s: a mistake of ours. */
export function drillOf(plan: Plan, rig: Rig): Drill {
  const { lengthMs, calls } = plan;
  return {
    ...{ name: 'random', why: '', file: '', text: '', rigFile: rig.file },
    ...{ rig, calls, rules: RULE_IDS, expectations: [], lesson: null },
    lengthMs: ms(lengthMs),
    steps: plan.steps.map(({ atMs, deed }) => {
      const read = readStep(deed, rig);
      if (!read.ok) throw new Error(`${JSON.stringify(deed)}: ${read.problem}`);
      return { atMs: ms(atMs), step: read.step };
    }),
  };
}
