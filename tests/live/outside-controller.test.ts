/** A fresh start and a drill where the controller runs elsewhere: its power is cut, and it is waited for. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { DrillListing } from '../../src/api/drill-schema.ts';
import type { Snapshot } from '../../src/api/snapshot-schema.ts';
import { type BenchProcess, freshFolder, startBench } from '../helpers/bench-process.ts';
import { DEMO_FILE } from '../helpers/demo.ts';
import { ask, call, Stream } from '../helpers/outside-view.ts';

const DRILL = `{ drill: 1, name: Two seconds, rig: ${DEMO_FILE}, length: 2 s, rules: [ask] }`;
const READ_STATE = { kind: 'read', functionCode: 4, address: 0, quantity: 1 } as const;

const folder = freshFolder();
const switched = join(folder, 'switched');
let sim: BenchProcess;
let stream: Stream;

beforeAll(async () => {
  const power = `>>'${switched}' printf '%s '`;
  sim = await startBench([
    ...['sim', '--speed', '20', '--data', folder, '--bus', 'tcp://127.0.0.1:0'],
    ...['--controller-power', power],
  ]);
  stream = new Stream(sim.page);
});

afterAll(async () => {
  stream.close();
  await sim.stop();
});

test('a fresh start cuts the power of the controller and restores it', async () => {
  await call(sim.page, 'steps', { call: { cooling: 'on' } });
  await call(sim.page, 'restart', {});
  expect(readFileSync(switched, 'utf8')).toBe('off on ');
  const { world, supervisor } = await call<Snapshot>(sim.page, 'now');
  expect(world?.calls.cooling).toBe(false);
  expect(supervisor).toBeNull();
});

test('a drill’s time stands still until the controller asks something', async () => {
  const { sequence } = await call<{ sequence: number }>(sim.page, 'drill', { text: DRILL });
  const begun = await call<Snapshot>(sim.page, 'now');
  expect(begun).toMatchObject({ paused: true, drill: { state: 'playing' } });
  expect((await call<Snapshot>(sim.page, 'now')).nowMs).toBe(begun.nowMs);
  await ask(sim.lines['main'] ?? 0, 11, READ_STATE);
  await stream.next('drill.ended', { state: 'judged' }, sequence);
  expect((await call<Snapshot>(sim.page, 'now')).paused).toBe(false);
});

test('whoever sets the clock meanwhile has it, and a drill that is stopped gives it back', async () => {
  await call(sim.page, 'drill', { text: DRILL });
  await call(sim.page, 'clock', { paused: true });
  await ask(sim.lines['main'] ?? 0, 11, READ_STATE);
  expect((await call<Snapshot>(sim.page, 'now')).paused).toBe(true);
  await call(sim.page, 'clock', { paused: false });
  await call(sim.page, 'drill', { text: DRILL });
  expect((await call<Snapshot>(sim.page, 'now')).paused).toBe(true);
  await call(sim.page, 'drill', undefined, 'DELETE');
  expect((await call<Snapshot>(sim.page, 'now')).paused).toBe(false);
});

test('a supervisor alone has no world to begin anew, and says who has', async () => {
  const bus = `tcp://127.0.0.1:${sim.lines['main'] ?? 0}`;
  const alone = await startBench(['supervise', '--data', freshFolder(), '--bus', bus]);
  const before = readFileSync(switched, 'utf8');
  try {
    await expect(call(alone.page, 'restart', {})).rejects.toThrow('leakbench sim');
    await expect(call(alone.page, 'drill', { text: DRILL })).rejects.toThrow('leakbench sim');
    const { drills } = await call<{ drills: DrillListing[] }>(alone.page, 'drills');
    expect(drills.every(({ fits }) => fits?.includes('leakbench sim'))).toBe(true);
    await expect(call(alone.page, 'recording')).rejects.toThrow('404');
    expect(await call<Snapshot>(alone.page, 'now')).toMatchObject({ wire: null, drill: null });
  } finally {
    await alone.stop();
  }
  // Nobody's power was switched for what was refused.
  expect(readFileSync(switched, 'utf8')).toBe(before);
});
