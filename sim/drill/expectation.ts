/** What a drill expects beside the rules. */

/** A condition over the signals of a trace. */
export type Expression =
  | { readonly kind: 'signal'; readonly name: string }
  | {
      readonly kind: 'compare';
      readonly name: string;
      readonly operator: '>=' | '>' | '<=' | '<';
      readonly percentLfl: number;
    }
  | { readonly kind: 'is'; readonly name: string; readonly state: string }
  | { readonly kind: 'not'; readonly of: Expression }
  | { readonly kind: 'and' | 'or'; readonly left: Expression; readonly right: Expression };

export interface Expectation {
  /** As a person reads it in a report. */
  readonly text: string;
  /** Each moment at which the condition becomes true, or one moment of the drill. */
  readonly when: Expression | { readonly atMs: number };
  readonly then: Expression;
  readonly withinMs: number;
  /** How long it must then last. */
  readonly forMs: number;
}

export interface ExpectationResult {
  readonly text: string;
  readonly result: 'held' | 'broken';
  readonly because: readonly string[];
}
