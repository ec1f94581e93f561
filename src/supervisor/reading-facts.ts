/** Which readings are worth telling: a change that a curve would show. */
import type { SensorBelief } from '../belief/index.ts';
import type { Fact } from '../events/index.ts';
import type { Sensor } from '../rig/index.ts';
import type { Ms } from '../units/index.ts';

/** Readings nearer than this to the one last told are not told again. */
const TOLD_STEP_PERCENT_LFL = 0.5;

type ReadingFact = Extract<Fact, { id: 'reading.changed' }>;

export function readingFact(
  sensor: Sensor,
  belief: SensorBelief,
  toldPercentLfl: number | null,
  now: Ms,
): ReadingFact | null {
  const heard = belief.lastGood?.heard;
  if (heard?.state === undefined) return null;
  const number = heard.gasPercentLfl;
  const far =
    number === null || toldPercentLfl === null || Math.abs(number - toldPercentLfl) >= TOLD_STEP_PERCENT_LFL;
  if (!far || number === toldPercentLfl) return null;
  return {
    id: 'reading.changed',
    atMs: now,
    fields: { sensor: sensor.id, state: heard.state, percentLfl: number },
  };
}
