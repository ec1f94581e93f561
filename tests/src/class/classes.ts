/** Classes at the points that tests begin from. */
import {
  type Class,
  type ClassInput,
  type ClassLesson,
  classStep,
  type RefusalId,
} from '../../../src/class/index.ts';
import type { Answer } from '../../../src/lesson/index.ts';

export const OPENED_MS = 1_700_000_000_000;
export const CODE = 'ACDEFH';

export const LESSON: ClassLesson & { readonly id: string } = {
  id: 'dead-sensor',
  title: 'The first call',
  name: 'A sensor is dead',
  why: 'Silence is not clean air.',
  solution: {
    causes: ['sensor-silent'],
    where: ['coil-a'],
    next: ['replace-sensor'],
    restart: ['after-mending'],
  },
  shows: 'Supply is there, the lamp is dark.',
  teach: ['Measure the supply first.'],
  safeNextStep: 'Lock out, then replace it.',
};

export const RIGHT: Answer = {
  causes: ['sensor-silent'],
  where: ['coil-a'],
  next: 'replace-sensor',
  restart: 'after-mending',
};
export const WRONG: Answer = { causes: ['leak'], where: ['fan'], next: 'leave-it', restart: 'runs' };

export const OPEN: ClassInput = { kind: 'opened', code: CODE, parts: ['coil-a', 'fan'] };
export const START: ClassInput = { kind: 'lessonStarted', lesson: LESSON, beganAtMs: 5000 };

export function join(name: string): ClassInput {
  return { kind: 'joined', name, keyDigest: `digest of ${name}` };
}

/** Everything one after another, each a millisecond later; throws where one is refused. */
export function classAfter(...inputs: readonly ClassInput[]): Class {
  let state: Class | null = null;
  for (const [index, input] of inputs.entries()) {
    const stepped = classStep(state, input, OPENED_MS + index);
    if (!stepped.ok) throw new Error(`${input.kind}: ${stepped.refusal}`);
    state = stepped.state;
  }
  if (state === null) throw new Error('no class is left');
  return state;
}

/** Why an input is refused; null where it is not. */
export function refusalOf(state: Class | null, input: ClassInput, now = OPENED_MS + 1000): RefusalId | null {
  const stepped = classStep(state, input, now);
  return stepped.ok ? null : stepped.refusal;
}
