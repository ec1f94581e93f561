/** Drill steps without `at`, as POST /api/v1/steps takes them: one builder a button. */

export type Call = 'cooling' | 'heating' | 'fan';

export interface Release {
  readonly at: string;
  /** Either a rate with a duration, or a mass that is gone after a time. */
  readonly amount:
    | { readonly kind: 'rate'; readonly rate: string; readonly lasts: string }
    | { readonly kind: 'mass'; readonly kg: string; readonly emptiesIn: string };
}

export function callStep(call: Call, on: boolean): unknown {
  return { call: { [call]: word(on) } };
}

export function releaseStep({ at, amount }: Release): unknown {
  if (amount.kind === 'mass') return { release: { at, kg: amount.kg, emptiesIn: amount.emptiesIn } };
  return { release: { at, rate: amount.rate, ...ifWritten('lasts', amount.lasts) } };
}

/** Ends a release that has no end of its own, or before it. */
export function endReleaseStep(): unknown {
  return { release: 'off' };
}

export function endTestGasStep(at: string): unknown {
  return { testGas: { at, level: 'off' } };
}

export function testGasStep(at: string, level: string, lasts: string): unknown {
  return { testGas: { at, level, ...ifWritten('lasts', lasts) } };
}

/** What is written of a fault beside where it is put; empty entries are left to the bench. */
export interface WrittenFault {
  readonly kind: string;
  readonly parameters: Readonly<Record<string, string>>;
  readonly lasts: string;
  readonly probability: string;
}

export function faultStep(part: string, { kind, parameters, lasts, probability }: WrittenFault): unknown {
  const written = Object.entries({ ...parameters, lasts, probability });
  return { fault: { in: part, kind, ...Object.fromEntries(written.flatMap(numberOrText)) } };
}

/** A bare number stays a number. */
function numberOrText([key, text]: readonly [string, string]): readonly (readonly [
  string,
  string | number,
])[] {
  const value = text.trim();
  if (value === '') return [];
  return [[key, /^[+-]?\d+(\.\d+)?$/u.test(value) ? Number(value) : value]];
}

/** All its faults, or those of one kind. */
export function mendStep(part: string, kind?: string): unknown {
  return { mend: { in: part, ...(kind === undefined ? {} : { kind }) } };
}

/** No time means until somebody restores it. */
export function cutStep(to: string, lasts: string): unknown {
  return { power: { to, cut: lasts.trim() === '' ? 'stays' : lasts.trim() } };
}

export function restoreStep(to: string): unknown {
  return { power: { to, restored: true } };
}

export function resetStep(): unknown {
  return { serviceReset: {} };
}

export function fireStep(on: boolean): unknown {
  return { fire: word(on) };
}

function word(on: boolean): 'on' | 'off' {
  return on ? 'on' : 'off';
}

function ifWritten(key: string, text: string): Record<string, string> {
  return text.trim() === '' ? {} : { [key]: text.trim() };
}
