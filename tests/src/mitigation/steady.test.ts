/** Until when nothing can change by time alone; who leaps over calm relies on it. */
import { describe, expect, it } from 'vitest';
import type { PlantInputs } from '../../../src/belief/index.ts';
import { steadyUntilMs } from '../../../src/mitigation/index.ts';
import { COOLING, FAN, HEATING, Lead, MINUTE, NO_CALL } from './situations.ts';

const HOLD = 5 * MINUTE;
const until = (lead: Lead): number => {
  const { inputs } = lead.situation().plant;
  if (inputs === null) throw new Error('nothing heard');
  return steadyUntilMs(lead.state, inputs, lead.policy);
};
const holding = (): Lead =>
  new Lead()
    .at(0)
    .at(1000, { sensors: { one: 'gas' } })
    .at(2000, { sensors: { one: 'well' } });

const CASES: readonly (readonly [string, Lead, number])[] = [
  ['nothing is called for', new Lead().at(0).at(1000), Infinity],
  ['every compressor serves', new Lead().cooling(), Infinity],
  ['heat serves, and no compressor is asked to', new Lead().until(20_000, { calls: HEATING }), Infinity],
  ['a compressor waits for its turn', new Lead().at(0, { calls: COOLING }).at(1000), -Infinity],
  [
    'gas stands against a call',
    new Lead().cooling().until(60_000, { sensors: { one: 'gas' } }, 5000),
    Infinity,
  ],
  ['the hold runs out', holding(), 2000 + HOLD],
  ['the hold waits for airflow', holding().until(30_000, { airflow: false, calls: NO_CALL }), -Infinity],
  ['airflow is missing', new Lead().cooling().at(31_000, { airflow: false }), -Infinity],
  [
    'airflow is about to be missing',
    new Lead().at(0).at(1000, { airflow: false, sensors: { one: 'gas' } }),
    -Infinity,
  ],
  ['airflow is there unasked', new Lead().at(0).at(1000, { airflow: true }), -Infinity],
  ['the second circuit runs unasked', new Lead().at(0).at(1000, { welded: [1] }), -Infinity],
  [
    'airflow was noted missing, and nobody asks for it any more',
    new Lead().at(0, { calls: FAN }).at(1000, { airflow: false }).at(2000, { calls: NO_CALL }),
    -Infinity,
  ],
];
/** Of what the machine has noted nothing yet: what is seen alone. */
const seen = (change: Partial<PlantInputs>, lead = new Lead().at(0).at(1000)): number => {
  const { inputs } = lead.situation().plant;
  if (inputs === null) throw new Error('nothing heard');
  return steadyUntilMs(lead.state, { ...inputs, ...change }, lead.policy);
};

describe('a decision stands until', () => {
  it.each(CASES)('%s', (_, lead, untilMs) => {
    expect(until(lead)).toBe(untilMs);
  });

  it('equipment is seen that does not do as it is told', () => {
    expect(seen({})).toBe(Infinity);
    expect(seen({ airflow: true })).toBe(-Infinity);
    expect(seen({ compressorRunning: [false, true] })).toBe(-Infinity);
    expect(seen({ compressorRunning: [true, false] })).toBe(-Infinity);
    // One that is slow to start is no hazard: nobody waits for it.
    expect(seen({ compressorRunning: [false, true] }, new Lead().cooling())).toBe(Infinity);
  });

  it('the moment it names, and then it changes', () => {
    const lead = holding();
    const untilMs = until(lead);
    lead.facts.length = 0;
    expect(lead.at(untilMs - 1).facts).toEqual([]);
    expect(lead.at(untilMs).phase).toBe('running');
  });
});
