/** The demo rig with its sensors exchanged for those of another profile: the same drills, the same safety. */
import { describe, expect, test } from 'vitest';
import type { Drill } from '../../../../sim/drill/index.ts';
import type { RuleId } from '../../../../sim/judge/rules.ts';
import { runBuiltIn } from '../../../../src/app/drill/run.ts';
import { compileCodec } from '../../../../src/sensor/index.ts';
import { shippedDrill } from '../../../helpers/shipped-drills.ts';
import { builtIn, type Judged } from '../../../mutants/judged.ts';
import { shippedProfile } from '../../sensor/reference.ts';

function withProfile(drill: Drill, name: string): Drill {
  const codec = compileCodec(shippedProfile(name));
  const sensors = drill.rig.sensors.map((one) => (one.kind === 'modbus' ? { ...one, codec } : one));
  return { ...drill, rig: { ...drill.rig, sensors } };
}

function resultOf({ results }: Judged, id: RuleId): string | undefined {
  return results.find((result) => result.id === id)?.result;
}

/** What the drill asks of a controller must have been asked with these sensors too, not only not broken. */
const DRILLS: Readonly<Record<string, readonly RuleId[]>> = {
  'test-gas-coil-a': ['ask', 'respond', 'chain', 'stay-off', 'hold', 'start', 'resume', 'announce'],
  'one-falls-silent': ['ask', 'silent', 'stay-off', 'hold', 'start', 'resume', 'announce'],
  'reports-failure': ['ask', 'self-failed', 'stay-off', 'hold', 'start', 'resume', 'announce'],
  'slow-warm-up': ['ask', 'start', 'resume'],
};

describe.each(['holding-floats', 'bits-and-counts'])('with sensors of profile %s', (profile) => {
  test.each(Object.entries(DRILLS))('%s is held by the built-in supervisor', (name, rules) => {
    const run = builtIn(withProfile(shippedDrill(name), profile));
    expect(run.complaints).toEqual([]);
    for (const rule of rules) expect(resultOf(run, rule), rule).toBe('held');
  });

  test('the gas that the supervisor told is the gas that was there', () => {
    const { facts } = runBuiltIn(withProfile(shippedDrill('test-gas-coil-a'), profile), 1);
    const told = facts.flatMap((fact) =>
      fact.id === 'reading.changed' && fact.fields.sensor === 'coil-a' ? [fact.fields.percentLfl ?? 0] : [],
    );
    expect(Math.max(...told)).toBeGreaterThan(34);
    expect(Math.max(...told)).toBeLessThanOrEqual(35);
  });
});

test('without a serial there is no stranger: identity is not applicable', () => {
  const run = builtIn(withProfile(shippedDrill('exchanged-sensors'), 'bits-and-counts'));
  expect(resultOf(run, 'identity')).toBe('not applicable');
  const told = builtIn(withProfile(shippedDrill('exchanged-sensors'), 'holding-floats'));
  expect(resultOf(told, 'identity')).toBe('held');
});

test('without a counter nothing stands still: implausible is not exercised', () => {
  const run = builtIn(withProfile(shippedDrill('counter-at-rest'), 'bits-and-counts'));
  expect(resultOf(run, 'implausible')).toBe('not exercised');
  const told = builtIn(withProfile(shippedDrill('counter-at-rest'), 'holding-floats'));
  expect(resultOf(told, 'implausible')).toBe('held');
});

test('bits and number that come in two reads contradict each other at no moment', () => {
  const { trace } = runBuiltIn(withProfile(shippedDrill('test-gas-coil-a'), 'bits-and-counts'), 1);
  const answers = trace.sensors[0]?.requests.flatMap(({ answer }) => answer ?? []) ?? [];
  const high = answers.filter(({ gasPercentLfl }) => (gasPercentLfl ?? 0) >= 20);
  expect(high.length).toBeGreaterThan(30);
  expect(high.filter(({ state }) => state === 'measuring')).toEqual([]);
});
