export { judge, judgement } from './judge.ts';
export type { JudgedPolicy } from './policy.ts';
export { RULE_IDS, type RuleId, type RuleResult, type Tier } from './rules.ts';
export type * from './trace.ts';
