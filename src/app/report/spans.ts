/**
 * Stretches in which a sensor's number is not to be believed, for the picture alone: read from what the
 * sensor answered. Nothing is judged by them.
 */
import type { Answer, SensorTrace } from '../../../sim/judge/trace.ts';
import type { Span } from '../../page/data/history.ts';
import type { Policy } from '../../rig/index.ts';

export function spansOf(sensor: SensorTrace, policy: Policy, endMs: number): readonly Span[] {
  const answers = sensor.requests.flatMap(({ answer }) => (answer === null ? [] : [answer]));
  const good = answers.filter(isGood);
  const found: Readonly<Record<string, readonly Stretch[]>> = {
    silent: silences(sensor, policy.silentAfterMs),
    frozen: frozen(good, policy.silentAfterMs),
    selfFailed: stretches(good, (answer) => answer.state === 'failed'),
    invalid: stretches(good, (answer) => answer.gasPercentLfl === null),
    stranger: stretches(good, (answer) => isStranger(answer, sensor.serial)),
    contradiction: stretches(good, (answer, stands) => contradicts(answer, stands, policy)),
    // A contact has no number: the picture shows its word instead of a curve.
    gas: sensor.kind === 'contact' ? stretches(good, (answer) => answer.state === 'gas') : [],
  };
  return Object.entries(found).flatMap(([hazard, all]) =>
    all.map(({ fromMs, toMs }) => ({
      hazard,
      subject: sensor.id,
      text: hazard,
      fromMs,
      toMs: toMs ?? endMs,
    })),
  );
}

/** Warming up is an answer, but says nothing of the gas. */
export function isGood(answer: Answer): boolean {
  return answer.state !== 'warming-up';
}

interface Stretch {
  readonly fromMs: number;
  /** null where it lasts to the end. */
  readonly toMs: number | null;
}

/** From the first answer of which it holds to the next of which it does not. */
function stretches(
  answers: readonly Answer[],
  holds: (answer: Answer, stands: boolean) => boolean,
): readonly Stretch[] {
  const found: Stretch[] = [];
  let fromMs: number | null = null;
  for (const answer of answers) {
    const stands = holds(answer, fromMs !== null);
    if (stands) fromMs ??= answer.atMs;
    else if (fromMs !== null) {
      found.push({ fromMs, toMs: answer.atMs });
      fromMs = null;
    }
  }
  return fromMs === null ? found : [...found, { fromMs, toMs: null }];
}

/**
 * From the first request that got no good answer, where it took `silentAfterMs` or longer to get one; a
 * sensor that has never been good may take its time to warm up.
 */
function silences({ requests }: SensorTrace, silentAfterMs: number): readonly Stretch[] {
  const found: Stretch[] = [];
  let fromMs: number | null = null;
  let lastMs = 0;
  let hasBeenGood = false;
  for (const { atMs, answer } of requests) {
    lastMs = atMs;
    if (answer !== null && isGood(answer)) {
      if (fromMs !== null && answer.atMs - fromMs >= silentAfterMs) found.push({ fromMs, toMs: answer.atMs });
      fromMs = null;
      hasBeenGood = true;
    } else if (answer === null || hasBeenGood) fromMs ??= atMs;
    else fromMs = null;
  }
  return fromMs !== null && lastMs - fromMs >= silentAfterMs ? [...found, { fromMs, toMs: null }] : found;
}

/** From the first of the answers that share a counter, where they share it for `afterMs` or longer. */
function frozen(answers: readonly Answer[], afterMs: number): readonly Stretch[] {
  const found: Stretch[] = [];
  let first: Answer | undefined;
  let lastMs = 0;
  for (const answer of answers) {
    if (first === undefined || answer.counter === undefined || answer.counter !== first.counter) {
      if (first !== undefined && lastMs - first.atMs >= afterMs) {
        found.push({ fromMs: first.atMs, toMs: answer.atMs });
      }
      first = answer.counter === undefined ? undefined : answer;
    }
    lastMs = answer.atMs;
  }
  if (first !== undefined && lastMs - first.atMs >= afterMs) {
    found.push({ fromMs: first.atMs, toMs: null });
  }
  return found;
}

function isStranger(answer: Answer, planned: string | null): boolean {
  return planned !== null && answer.serial !== undefined && answer.serial !== planned;
}

function contradicts(
  { state, gasBit, gasPercentLfl }: Answer,
  stands: boolean,
  { setpoint, clearBelow }: Policy,
): boolean {
  if (state !== 'measuring' || gasBit || typeof gasPercentLfl !== 'number') return false;
  return gasPercentLfl >= (stands ? clearBelow : setpoint);
}
