/**
 * The rules by which a controller is judged: words, tier and source, one row a rule. What each means to the
 * last millisecond stands in the file of its name.
 *
 * Tiers: `published`, a standard asks for it; `practice`, common practice, no source; `choice`, ours.
 */
export type Tier = 'published' | 'practice' | 'choice';

interface Row {
  readonly words: string;
  readonly tier: Tier;
  readonly source: string;
}

const UL_GG = 'UL/CSA 60335-2-40 Annex GG, ANSI/ASHRAE 15 7.6.2.4 (from memory)';
const UL_LL = 'UL/CSA 60335-2-40 Annex LL, ANSI/ASHRAE 15 7.6.2.5 (from memory)';
const DETECTOR =
  'IEC 60335-2-40 Ed. 6 Annex LL (30 s at 25 %LFL, second hand); ANSI/ASHRAE 15 7.6.2 (15 s, from memory)';
const PRACTICE = 'common practice, no source';
const OURS = 'a choice of this bench';

export const RULES = {
  ask: { words: 'asks every sensor often enough', tier: 'practice', source: PRACTICE },
  respond: { words: 'mitigates in time when a sensor reports gas', tier: 'published', source: UL_GG },
  silent: { words: 'mitigates in time when a sensor is silent', tier: 'published', source: UL_LL },
  'self-failed': {
    words: 'mitigates in time when a sensor reports failure',
    tier: 'published',
    source: UL_LL,
  },
  implausible: { words: 'mitigates in time when a sensor says what cannot be', tier: 'choice', source: OURS },
  identity: { words: 'mitigates in time when a sensor is not the planned one', tier: 'choice', source: OURS },
  chain: { words: 'mitigates in time after true gas at 25 %LFL', tier: 'published', source: DETECTOR },
  'stay-off': { words: 'stays in mitigation while a reason lasts', tier: 'published', source: UL_GG },
  recheck: { words: 'looks again before it lets go', tier: 'published', source: UL_GG },
  hold: { words: 'keeps mitigating for the whole hold', tier: 'published', source: UL_GG },
  'power-cut': {
    words: 'loses nothing of a mitigation by its own power cut',
    tier: 'practice',
    source: PRACTICE,
  },
  start: { words: 'waits for every self-test before it runs anything', tier: 'practice', source: PRACTICE },
  'prove-fan': { words: 'stops when the airflow is not proven', tier: 'practice', source: PRACTICE },
  'short-cycle': { words: 'leaves a compressor off long enough', tier: 'practice', source: PRACTICE },
  resume: { words: 'serves the call again in time', tier: 'practice', source: PRACTICE },
  'no-nuisance': { words: 'stops serving a call only for a reason', tier: 'practice', source: PRACTICE },
  latch: { words: 'stays locked out until a person resets it', tier: 'choice', source: OURS },
  announce: { words: 'shows alarm and trouble while they last', tier: 'published', source: UL_LL },
  fire: { words: 'stops everything at a fire signal', tier: 'practice', source: PRACTICE },
} as const satisfies Readonly<Record<string, Row>>;

export type RuleId = keyof typeof RULES;
export const RULE_IDS = Object.keys(RULES) as readonly RuleId[];

export interface RuleResult {
  readonly id: RuleId;
  readonly result: 'held' | 'broken' | 'not exercised' | 'not applicable';
  /** Least distance to the limit over the drill, seconds; negative when broken, null when not exercised. */
  readonly marginS: number | null;
  /** The moment of that margin. */
  readonly atMs: number | null;
  readonly sensor: string | null;
  /** Said where in no case anything had to be done: mitigation stood before each. */
  readonly stoodAlready?: true;
  /** Facts in order, each of which a person can check against the trace. */
  readonly because: readonly string[];
}
