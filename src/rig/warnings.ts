/** What a legal rig should know of itself: published limits it goes past, and choices that can bite. */
import type { FileProblem, Locate } from '../files/index.ts';
import { formatDuration } from '../units/index.ts';
import { PUBLISHED_LIMITS } from './limits.ts';
import type { Rig } from './rig.ts';

export function warningsOf(rig: Rig, locate: Locate): readonly FileProblem[] {
  return [...limitWarnings(rig, locate), ...contactWarnings(rig, locate), ...lineWarnings(rig, locate)];
}

function limitWarnings(rig: Rig, locate: Locate): FileProblem[] {
  return PUBLISHED_LIMITS.filter((limit) => limit.exceeds(rig)).map((limit) =>
    locate(limit.path, `${limit.says(rig)} (${limit.source})`),
  );
}

function contactWarnings(rig: Rig, locate: Locate): FileProblem[] {
  return rig.sensors.flatMap((sensor, index) =>
    sensor.kind === 'contact' && sensor.contact === 'closes-on-gas'
      ? [
          locate(
            ['sensors', index, 'contact'],
            `a broken wire of ${sensor.id} reads clear; opens-on-gas reads gas (common practice, no source)`,
          ),
        ]
      : [],
  );
}

/** A silent sensor must be known as silent in time, though it is asked again and again before that. */
function lineWarnings(rig: Rig, locate: Locate): FileProblem[] {
  const { silentAfterMs } = rig.policy;
  return rig.lines.flatMap(({ id, timeoutMs, retries, pollEveryMs }, index) => {
    const triesMs = timeoutMs * (retries + 1);
    if (triesMs + pollEveryMs <= silentAfterMs) return [];
    const message =
      `on line ${id} one poll of a silent sensor takes ${formatDuration(triesMs)} ` +
      `(timeout × (retries + 1)); with a poll every ${formatDuration(pollEveryMs)} ` +
      `it is noticed later than silentAfter, ${formatDuration(silentAfterMs)}`;
    return [locate(['lines', index], message)];
  });
}
