/** What is to be said of a whole drill beside its results: it makes some of them empty, and is no rule's. */
import type { Ground } from './ground.ts';
import { heldByWatchdog } from './outputs.ts';
import { intersect, lengthMs, type Spans } from './spans.ts';
import { clock, length } from './text.ts';

export function remarksOn(ground: Ground): readonly string[] {
  return [
    ...watchdogRemark(ground),
    ...[...ground.calls].flatMap(([kind, stood]) => callRemark(kind, stood, ground)),
  ];
}

/** A controller that never writes completely seems to mitigate in time, and to keep every hold. */
function watchdogRemark(ground: Ground): readonly string[] {
  const held = heldByWatchdog(ground);
  const [first] = held;
  const last = held.at(-1);
  if (first === undefined || last === undefined) return [];
  const often =
    held.length === 1
      ? `from ${clock(first.fromMs)} to ${clock(first.toMs)}`
      : `${held.length} times between ${clock(first.fromMs)} and ${clock(last.toMs)} ` +
        `(${length(lengthMs(held))} in all)`;
  return [
    `The field I/O’s watchdog held the outputs ${often}, since no complete write had come for ` +
      `${length(ground.policy.watchdogMs)}: what was held then the controller did not do.`,
  ];
}

/** One that mitigates for ever breaks few rules. */
function callRemark(kind: string, stood: Spans, { judged, serving }: Ground): readonly string[] {
  const couldMs = lengthMs(intersect(stood, judged));
  if (couldMs === 0 || intersect(stood, serving).length > 0) return [];
  return [`The call for ${kind} stood for ${length(couldMs)} and was never served.`];
}
