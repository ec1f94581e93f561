/** A controller with one thing wrong, and the rule that must find it. */
import type { RuleId } from '../../sim/judge/rules.ts';
import type { Variant } from './variant.ts';

export interface Mutant {
  /** What it does wrong, as a clause without a subject. */
  readonly name: string;
  /** A shipped drill that shows it. */
  readonly drill: string;
  /** The rule that names its flaw. */
  readonly breaks: RuleId;
  /** What the same flaw breaks besides; why stands beside it. */
  readonly also?: readonly RuleId[];
  /** Made anew for each run. */
  readonly make: () => Variant;
}

/** No mitigation and no lamp: true gas goes without either just as the report of it does. */
export const DEAF: readonly RuleId[] = ['chain', 'announce'];
/** Mitigation lacks a part, so that it is not reached after true gas either. */
export const INCOMPLETE: readonly RuleId[] = ['chain'];
/** What it does not notice it does not show. */
export const UNNOTICED: readonly RuleId[] = ['announce'];

/** A change without a memory of its own. */
export function always(change: ReturnType<Variant>): () => Variant {
  return () => () => change;
}
