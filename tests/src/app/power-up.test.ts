/** What a supervisor begins with around a fresh start: within its process, and after a kill at any point. */
import { expect, test } from 'vitest';
import { powerUpFrom, recordSince } from '../../../src/app/power-up.ts';
import type { Fact } from '../../../src/events/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { openedRecord } from '../record/folders.ts';

const POLICY = { ...demoRig().policy, latchAfter: { trips: 1, withinMs: 86_400_000 } } as ReturnType<
  typeof demoRig
>['policy'];

const changed = (atMs: number, from: string, to: string): Fact => ({
  id: 'mitigation.changed',
  atMs,
  fields: { from, to, reason: 'a test' },
});
const started = (atMs: number, state: string): Fact => ({
  id: 'supervisor.started',
  atMs,
  fields: { state, reason: 'a test' },
});
const RESET: Fact = { id: 'bench.reset', atMs: 30_000, fields: { reason: 'as asked for' } };

/** A run up to the fresh start, and the facts that follow from it. */
const QUIET: readonly Fact[] = [
  { id: 'bench.started', atMs: 0, fields: { rig: 'a rig' } },
  started(0, 'starting'),
  changed(10_000, 'starting', 'running'),
];
const LOCKED: readonly Fact[] = [
  ...QUIET,
  changed(20_000, 'running', 'mitigating'),
  { id: 'trip.counted', atMs: 20_000, fields: { count: 1, withinMs: 86_400_000 } },
  changed(21_000, 'mitigating', 'lockedOut'),
];
const AFTERWARDS: readonly Fact[] = [
  RESET,
  started(30_000, 'starting'),
  changed(40_000, 'starting', 'running'),
];

test.each([
  ['a quiet run', QUIET, ['disorderly']],
  ['a lock-out', LOCKED, ['lockedOut']],
])('a kill anywhere around a fresh start after %s leads to no laxer start', (_, before, kinds) => {
  const record = openedRecord();
  record.append(before);
  for (const fact of AFTERWARDS) {
    expect(kinds).toContain(powerUpFrom(record, POLICY, Date.now()).record);
    record.append([fact]);
  }
  expect(kinds).toContain(powerUpFrom(record, POLICY, Date.now()).record);
});

test('within the process what befell the old rig is no past of the new one', () => {
  const record = openedRecord();
  record.append(LOCKED);
  const [reset] = record.append([RESET]);
  const since = (): ReturnType<typeof powerUpFrom> =>
    powerUpFrom(recordSince(record, reset?.sequence ?? 0), POLICY, Date.now());
  expect(since()).toEqual({ record: 'empty', tripAgesMs: [], tripCounted: false });
  record.append([started(30_000, 'starting'), changed(40_000, 'starting', 'running')]);
  // A power cut of the controller: it stopped nothing in order.
  expect(since()).toEqual({ record: 'disorderly', tripAgesMs: [], tripCounted: false });
  record.append([
    changed(50_000, 'running', 'mitigating'),
    { id: 'trip.counted', atMs: 50_000, fields: { count: 1, withinMs: 86_400_000 } },
  ]);
  expect(since()).toMatchObject({ record: 'lockedOut', tripCounted: true });
});
