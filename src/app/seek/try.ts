/** One random drill under one controller, judged: what a search asks of this process. */
import { createHash } from 'node:crypto';
import { setImmediate } from 'node:timers/promises';
import type { Drill } from '../../../sim/drill/drill.ts';
import { judge } from '../../../sim/judge/index.ts';
import type { Trace } from '../../../sim/judge/trace.ts';
import { drillOf, reachedIn, type Try } from '../../../sim/seek/index.ts';
import type { Rig } from '../../rig/index.ts';
import { judgedPolicy } from '../drill/judged-policy.ts';
import type { DrillRun } from '../drill/run.ts';

/** What `drill` draws by where no seed is given: a drill that was found needs none to be seen again. */
const DRAWN_BY = 1;

export type RunDrill = (drill: Drill, seed: number) => DrillRun | Promise<DrillRun>;

export function tryWith(rig: Rig, run: RunDrill): Try {
  const policy = judgedPolicy(rig);
  return async (plan) => {
    // Virtual time never waits: without a breath between two drills no signal would ever be heard.
    await setImmediate();
    const drill = drillOf(plan, rig);
    const { trace, trouble } = await run(drill, DRAWN_BY);
    // What a controller did not live to do cannot be judged.
    const rules = trouble.length > 0 ? [] : judge(trace, policy, drill.rules);
    return { rules, trouble, course: courseOf(trace), reached: reachedIn(trace, policy.holdMs) };
  };
}

/** Every change of every output, as one short text. */
function courseOf({ outputs }: Trace): string {
  return createHash('sha256')
    .update(JSON.stringify([...outputs]))
    .digest('base64');
}
