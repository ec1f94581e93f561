/** What users read of each rule: in `reference`, in reports, where a drill did not exercise one. */
import { describe, expect, test } from 'vitest';
import { DEFINITIONS } from '../../../sim/judge/judge.ts';
import { RULE_IDS, RULES } from '../../../sim/judge/rules.ts';
import { POLICY } from './trace-builder.ts';

/** A sentence's part: no capital, no stop, nothing that hangs over at either end. */
const PART = /^(?!and |or |but )[a-z](?:.*[^,;:. ])?$/u;
/** Names of limits, as the rig file writes them. */
const LIMIT = /\b[a-z]+[A-Z]\w*/gu;
/** By tier, what a source must name. */
const SOURCES = {
  published: /^(?:UL\/CSA|IEC) 60335-2-40 .*ASHRAE 15 .*(?:seen|second hand|from memory)\)$/u,
  practice: /^common practice, no source$/u,
  choice: /^a choice of this bench$/u,
};
const KNOWN = new Set(Object.keys(POLICY).map((key) => key.replace(/(?:Ms|PercentLfl)$/u, '')));

describe.each(RULE_IDS)('%s', (id) => {
  const { countedFrom, limit, exercisedWhen } = DEFINITIONS[id];

  test('says from when on it counts, and how long, in limits that a rig has', () => {
    expect(countedFrom).toMatch(PART);
    expect(limit).toMatch(PART);
    const named = `${countedFrom} ${limit} ${exercisedWhen}`.match(LIMIT) ?? [];
    expect(named.filter((name) => !KNOWN.has(name))).toEqual([]);
  });

  test('says what would put it to the test', () => {
    expect(exercisedWhen).toMatch(/^It would take .*[^,;: ]\.$/u);
  });

  test('has a source of its tier', () => {
    const { tier, source, words } = RULES[id];
    expect(source).toMatch(SOURCES[tier]);
    expect(words).toMatch(PART);
  });
});

test('the chain gives the detector the published 30 s at 25 %LFL', () => {
  // IEC 60335-2-40 Ed. 6 Annex LL, second hand.
  expect(DEFINITIONS.chain.countedFrom).toMatch(/^true gas of 25 %LFL at a sensor/u);
  expect(DEFINITIONS.chain.limit).toBe('mitigation within 30 s for the detector and respondWithin');
});
