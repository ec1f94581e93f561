import { describe, expect, test } from 'vitest';
import { judge, RULE_IDS, type SensorTrace } from '../../../sim/judge/index.ts';
import { during, GAS, mitigating, POLICY, sensor, trace } from './trace-builder.ts';

describe('the judge', () => {
  test('gives one result a rule, in the order asked for', () => {
    const results = judge(trace(60, {}), POLICY, ['hold', 'ask', 'fire']);
    expect(results.map((one) => one.id)).toEqual(['hold', 'ask', 'fire']);
    expect(judge(trace(60, {}), POLICY, [])).toEqual([]);
  });

  test('says of every rule that was not exercised, or cannot be, what it would take', () => {
    const results = judge(trace(60, { asksItself: true }), POLICY, RULE_IDS);
    for (const { result, because, marginS, atMs, sensor: named } of results) {
      expect(['not exercised', 'not applicable']).toContain(result);
      expect(because).toHaveLength(1);
      expect(because[0]).toMatch(/^(?:It would take|The rig|The bench) .*\.$/u);
      expect([marginS, atMs, named]).toEqual([null, null, null]);
    }
    expect(results.filter((one) => one.result === 'not applicable').map((one) => one.id)).toEqual([
      'ask',
      'self-failed',
      'implausible',
      'identity',
      'start',
      'latch',
    ]);
  });

  test('says what a lock-out would take', () => {
    const latchAfter = { trips: 3, withinMs: 600_000 };
    const [result] = judge(trace(60, {}), { ...POLICY, latchAfter }, ['latch']);
    expect(result?.because[0]).toMatch(/^It would take as many gas episodes as latchAfter says/u);
  });

  test('never takes a signal that is not there for one that is off', () => {
    const whole = trace(60, {});
    for (const name of whole.inputs.keys()) {
      if (name === 'call.fan' || name === 'call.heating') continue;
      const inputs = new Map([...whole.inputs].filter(([other]) => other !== name));
      expect(() => judge({ ...whole, inputs }, POLICY, ['ask'])).toThrow(`trace without input ${name}`);
    }
    for (const name of whole.outputs.keys()) {
      const outputs = new Map([...whole.outputs].filter(([other]) => other !== name));
      expect(() => judge({ ...whole, outputs }, POLICY, ['ask'])).toThrow(`trace without output ${name}`);
    }
    expect(() => judge({ ...whole, outputs: new Map(whole.outputs).set('fan', []) }, POLICY, [])).toThrow(
      'trace without output fan',
    );
  });

  test('shows the tightest of many cases, the first of equal ones', () => {
    const says = (fromS: number): SensorTrace['requests'] =>
      sensor('x', 900, during(fromS, fromS + 30, GAS)).requests;
    const sensors = ['coil-a', 'coil-b', 'coil-c'].map((id, index) => ({
      ...sensor(id, 900, () => ({})),
      requests: says(10 + 300 * Math.min(index, 1)),
    }));
    const outputs = mitigating([
      [15, 100],
      [318, 900],
    ]);
    const [result] = judge(trace(900, { sensors, outputs }), POLICY, ['respond']);
    expect(result).toMatchObject({ result: 'held', marginS: 7, sensor: 'coil-b', atMs: 310_000 });
  });
});
