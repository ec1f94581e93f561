/** The rules, each as the judge defines it, and the words that they are written in. */
import { DEFINITIONS } from '../../../sim/judge/judge.ts';
import type { ReasonKind } from '../../../sim/judge/reason.ts';
import { RULE_IDS, RULES, type RuleId } from '../../../sim/judge/rules.ts';
import { code, list, table } from './markdown.ts';

export function rulesTold(): string {
  const told = RULE_IDS.map((id) => [code(id), RULES[id].words, RULES[id].tier, RULES[id].source]);
  const meant = RULE_IDS.map((id) => {
    const { countedFrom, limit, exercisedWhen } = DEFINITIONS[id];
    return [code(id), countedFrom, limit, exercisedWhen.replace(/^It would take (.+)\.$/u, '$1')];
  });
  const reasons = Object.entries(REASONS).map(([kind, { rule, stands }]) => [kind, stands, code(rule)]);
  return [
    table(['rule', 'a controller', 'tier', 'source'], told),
    '### What is counted',
    table(['rule', 'counted from', 'limit', 'exercised by'], meant),
    '### Reasons to mitigate',
    table(['reason', 'stands while', 'rule'], reasons),
    '### Words',
    list(WORDS),
  ].join('\n\n');
}

/** As sim/judge/fold.ts reads a sensor; which rule asks for the response to it. */
const REASONS: Readonly<Record<ReasonKind, { readonly rule: RuleId; readonly stands: string }>> = {
  gas: {
    rule: 'respond',
    stands:
      'the state says gas, or the gas bit, or the contact, whatever the number; from then on until the ' +
      'sensor measures, says clear and its number is below clearBelow',
  },
  contradiction: {
    rule: 'implausible',
    stands:
      'the number is at or above the setpoint, and state and bit say clear; until it is below clearBelow',
  },
  frozen: {
    rule: 'implausible',
    stands: 'good answers come, and their counter has not moved for silentAfter',
  },
  invalid: { rule: 'implausible', stands: 'good answers come without a valid number' },
  silent: {
    rule: 'silent',
    stands:
      'the sensor is asked and has not answered for silentAfter, or, once it had been good, has given no ' +
      'good answer for so long; until a good answer with its self-test passed',
  },
  failed: { rule: 'self-failed', stands: 'the state says failed' },
  stranger: { rule: 'identity', stands: 'the serial is not the planned one' },
};

const WORDS = [
  '**Good answer**: its state is measuring, gas or failed. Warming up is an answer and no good one: a sensor ' +
    'that warms up at its first start is not silent yet, one that restarts later becomes so after silentAfter. ' +
    'Nobody asking is no silence; `ask` answers for that.',
  '**Mitigation**: the commands say fan on, dampers open, heat off and every compressor off. It is left as ' +
    'soon as one of these is not so.',
  '**Episode**: from a reason where none stood and the last hold had passed, through all reasons that ' +
    'overlap it, to the end of the hold. A reason shorter than respondWithin that no mitigation answered makes none.',
  '**End of a reason**: for `stay-off`, `recheck`, `hold` and `announce` gas and contradiction end with the ' +
    'last answer that was still at or above the setpoint or said gas: a controller may wait longer, not shorter.',
  '**Well**: no reason, self-test passed, state measuring, number below clearBelow; of a contact, no gas.',
  '**Judged time**: rig and controller have power, the field I/O answers and no fire stands. Nothing is ' +
    'judged outside it, but `fire` while fire stands; after a gap in it every limit counts anew.',
  '**Margin**: the least distance to the limit, in seconds, of all cases in the drill; below zero is broken, ' +
    'zero is met. Where a state must last it is the time without it. What the end of the drill leaves ' +
    'undecided is no case, and a rule without a case was not exercised.',
] as const;
