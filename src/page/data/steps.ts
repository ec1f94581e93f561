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

export function faultStep(part: string, kind: string, parameters: string, lasts: string): unknown {
  return { fault: { in: part, kind, ...parametersOf(parameters), ...ifWritten('lasts', lasts) } };
}

export function mendStep(part: string): unknown {
  return { mend: { in: part } };
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

/** "by: 5 %LFL, every: 30 s" as the drill file would write it; a bare number stays a number. */
export function parametersOf(text: string): Record<string, string | number> {
  const pairs = text
    .split(',')
    .map((part) => part.split(':'))
    .filter(([key]) => key !== undefined && key.trim() !== '');
  return Object.fromEntries(
    pairs.map(([key = '', ...rest]) => {
      const value = rest.join(':').trim();
      return [key.trim(), /^[+-]?\d+(\.\d+)?$/u.test(value) ? Number(value) : value];
    }),
  );
}
