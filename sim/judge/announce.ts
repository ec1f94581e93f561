/**
 * announce: from `respondWithin` after its onset (or the controller's power-up), while it lasts: alarm for
 * gas and contradiction, trouble for any other reason and for airflow missing.
 *
 * Gas ends laxly here too. Earlier and longer is legal.
 */
import { type Case, type Definition, lacksNothing, lapseIn } from './definition.ts';
import type { Ground } from './ground.ts';
import { isGas, laxSpan } from './reason.ts';
import { after, type Span, within } from './spans.ts';
import { clock, length } from './text.ts';

export const announce: Definition = {
  lacks: lacksNothing,
  cases: (ground) =>
    matters(ground).flatMap((matter) =>
      after(within(matter.span, ground.judged), ground.policy.respondWithinMs).map((window) =>
        caseOf(window, matter, ground),
      ),
    ),
  exercisedWhen: 'It would take a reason, or missing airflow, that lasts longer than respondWithin.',
  countedFrom: 'respondWithin after the beginning of the reason or of missing airflow, or after the power-up',
  limit: 'alarm for gas and contradiction, trouble for all else, on while it lasts',
};

interface Matter {
  readonly span: Span;
  readonly lamp: 'alarm' | 'trouble';
  readonly sensor: string | null;
  readonly said: string;
}

function matters(ground: Ground): readonly Matter[] {
  const reasons = ground.reasons.map((reason): Matter => {
    const { sensor, said } = reason;
    return { span: laxSpan(reason), lamp: isGas(reason) ? 'alarm' : 'trouble', sensor, said };
  });
  const airflow = ground.airflowMissing.map(
    (span): Matter => ({ span, lamp: 'trouble', sensor: null, said: 'Airflow was missing' }),
  );
  return [...reasons, ...airflow];
}

function caseOf(window: Span, { lamp, sensor, said }: Matter, ground: Ground): Case {
  const { lapseMs, fromMs } = lapseIn(window, ground[lamp]);
  return {
    marginMs: -lapseMs,
    atMs: fromMs,
    sensor,
    because: () => [
      `${said}; ${lamp} was due from ${clock(window.fromMs)} until ${clock(window.toMs)}.`,
      lapseMs > 0
        ? `It was off from ${clock(fromMs)}, for ${length(lapseMs)} in all.`
        : 'It was on all the while.',
    ],
  };
}
