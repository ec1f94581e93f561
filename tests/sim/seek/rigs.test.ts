/** Every rig that a file can describe can be sought in: the shipped ones, and the barest and oddest. */
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { deedsOf } from '../../../sim/seek/deeds.ts';
import { focusOf, WAYS } from '../../../sim/seek/focus.ts';
import { drillOf, plansOf } from '../../../sim/seek/plan.ts';
import { packageRoot } from '../../../src/files/index.ts';
import { loadRig, type Rig } from '../../../src/rig/index.ts';
import { rigOf, SMALLEST } from '../../src/rig/rig-text.ts';

const PLANS_A_FOCUS = 6;
const CONTACT = '{ id: grille, at: room-low, kind: contact, input: 8 }';
const PLAIN = '{ id: coil-a, at: cabinet, unitId: 11 }';

const SHIPPED = ['src', 'sim', 'tests'].flatMap((folder) =>
  readdirSync(join(packageRoot(), folder), { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.rig.yaml'))
    .map((file) => join(packageRoot(), folder, file)),
);

const ODD: Readonly<Record<string, string>> = {
  'one sensor': SMALLEST,
  'dry contacts alone': SMALLEST.replace(PLAIN, CONTACT),
  'two sensors that share no line, a time-out of a millisecond': SMALLEST.replace(
    `  - ${PLAIN}`,
    `  - { id: coil-a, at: cabinet, line: one, unitId: 11 }\n  - { id: coil-b, at: cabinet, line: two, unitId: 11 }`,
  ).concat(
    'lines:\n  - { id: one, listen: [tcp://127.0.0.1:1502], pollEvery: 100 ms, timeout: 1 ms }\n',
    '  - { id: two, listen: [tcp://127.0.0.1:1503], pollEvery: 10 s, timeout: 3 s }\n',
    'fieldIo: { line: one }\n',
  ),
  'no heat, one circuit, no time between starts': SMALLEST.concat(
    'heat: off\ncircuits: [only]\npolicy: { compressorMinOff: 0 s }\n',
  ),
  'limits of milliseconds': SMALLEST.concat(
    'policy: { hold: 1 ms, silentAfter: 1 ms, askWithin: 1 ms, respondWithin: 1 ms, fanProofWithin: 1 ms, resumeWithin: 1 ms }\n',
  ),
  'limits of a day, a lock at the first trip': SMALLEST.concat(
    'policy: { hold: 24 h, silentAfter: 1 h, respondWithin: 1 h, latchAfter: { trips: 1, within: 24 h } }\n',
  ),
  'the lowest setpoint': SMALLEST.concat('policy: { setpoint: 1 %LFL, clearBelow: 0.01 %LFL }\n'),
  'a setpoint at the LFL': SMALLEST.concat('policy: { setpoint: 100 %LFL, clearBelow: 100 %LFL }\n'),
};

function shipped(file: string): Rig {
  const loaded = loadRig(file);
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  return loaded.value;
}

/** Makes drills of every focus; what cannot be made, or is none of this rig's, throws. */
function drillsOf(rig: Rig): number {
  const { possible } = deedsOf(rig);
  const orders: readonly Parameters<typeof focusOf>[0][] = [
    { on: 'anything' },
    ...WAYS,
    ...possible.map((fault) => ({ on: 'faults', faults: [fault] }) as const),
  ];
  const drills = orders.flatMap((order) =>
    fc
      .sample(plansOf(rig, focusOf(order)), { seed: 1, numRuns: PLANS_A_FOCUS })
      .map((plan) => drillOf(plan, rig)),
  );
  return drills.filter(({ steps }) => steps.length > 0).length;
}

test('there are shipped rigs', () => {
  expect(SHIPPED.length).toBeGreaterThanOrEqual(5);
});

test.each(SHIPPED)('%s', (file) => {
  expect(drillsOf(shipped(file))).toBeGreaterThan(PLANS_A_FOCUS * WAYS.length * 0.8);
});

test.each(Object.entries(ODD))('a rig of %s', (_, text) => {
  expect(drillsOf(rigOf(text))).toBeGreaterThan(PLANS_A_FOCUS * WAYS.length * 0.8);
});
