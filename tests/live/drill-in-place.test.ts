/** A drill on the bench that is there, over real sockets: played, judged, stopped, refused, and recorded. */
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { loadDrill } from '../../sim/drill/index.ts';
import type { DrillListing, DrillReport, Recording } from '../../src/api/drill-schema.ts';
import type { Snapshot } from '../../src/api/snapshot-schema.ts';
import { judgedRun } from '../../src/app/drill/judged-run.ts';
import { runBuiltIn } from '../../src/app/drill/run.ts';
import { type BenchProcess, freshFolder, runToEnd, startBench } from '../helpers/bench-process.ts';
import { DEMO_FILE } from '../helpers/demo.ts';
import { call, Stream } from '../helpers/outside-view.ts';
import { SHIPPED } from '../helpers/shipped-drills.ts';
import { frame, framesOf, rawClient } from '../sim/wire/raw-client.ts';

const DRILL = `drill: 1
name: A short fire
why: To see it judged.
rig: ${DEMO_FILE}
length: 50 s
calls: { cooling: on }
steps:
  - { at: 25 s, fire: on }
  - { at: 40 s, power: { to: coil-a, cut: 1 s } }
expect:
  - { when: fire, then: not compressor.a, within: 5 s, for: 5 s }
`;

let bench: BenchProcess;
let stream: Stream;

beforeAll(async () => {
  bench = await startBench(['serve', '--speed', '20', '--data', freshFolder(), '--bus', 'tcp://127.0.0.1:0']);
  stream = new Stream(bench.page);
});

afterAll(async () => {
  stream.close();
  await bench.stop();
});

const report = (): Promise<DrillReport> => call<DrillReport>(bench.page, 'drill');
/** What coil-a says of itself. */
async function serviceDaysLeft(): Promise<number> {
  const line = await rawClient(bench.lines['main'] ?? 0);
  line.send(frame(1, 11, 0x04, 0, 8, 0, 1));
  const [answered = []] = framesOf(await line.read(7 + 4));
  line.socket.destroy();
  const [high = 0, low = 0] = answered.slice(-2);
  return high * 256 + low;
}
const play = (wanted: object): Promise<{ sequence: number }> => call(bench.page, 'drill', wanted);

describe('a drill in place', () => {
  test('begins afresh, does its steps, and is judged as the command would judge it', async () => {
    await call(bench.page, 'steps', { fault: { in: 'coil-b', kind: 'silent' } });
    const { sequence } = await play({ text: DRILL });
    const { drill } = await call<Snapshot>(bench.page, 'now');
    expect(drill).toMatchObject({
      id: null,
      state: 'playing',
      verdict: null,
      lesson: false,
      lengthMs: 50_000,
    });
    expect((await report()).rules).toEqual([]);
    await stream.next('drill.step', { text: 'fire signal on' }, sequence);
    await call(bench.page, 'steps', { call: { fan: 'on' } });
    const ended = await stream.next('drill.ended', {}, sequence);

    const told = stream.events.filter(
      (event) => event.sequence > sequence && event.sequence <= ended.sequence,
    );
    const order = ['bench.reset', 'drill.started', 'supervisor.started', 'drill.step', 'drill.step'];
    expect(told.map(({ type }) => type.replace('leakbench.', '')).filter((id) => order.includes(id))).toEqual(
      order,
    );
    const judged = await report();
    expect(judged.notes).toEqual(['1 step was made by hand meanwhile']);
    expect(judged.steps.map(({ done }) => done)).toEqual([true, true]);
    expect(judged).toMatchObject({ state: 'judged', verdict: 'held' });

    const file = join(mkdtempSync(join(tmpdir(), 'leakbench-text-')), 'short.drill.yaml');
    writeFileSync(file, DRILL);
    const loaded = loadDrill(file);
    if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
    const by = { seed: 1, controller: 'builtin', host: 'virtual', liveOptions: [] } as const;
    const elsewhere = judgedRun(loaded.value, runBuiltIn(loaded.value, 1), by);
    expect(judged.rules.map(({ id, result }) => [id, result])).toEqual(
      elsewhere.rules.map(({ id, result }) => [id, result]),
    );
    expect(judged.expectations.map(({ text, result }) => [text, result])).toEqual(
      elsewhere.expectations.map(({ text, result }) => [text, result]),
    );
    // Times of a verdict count from the drill's beginning, wherever the bench's own time stands.
    for (const { atMs } of judged.rules) expect(atMs ?? 0).toBeLessThanOrEqual(50_000);

    const goesOn = await call<Snapshot>(bench.page, 'now');
    expect(goesOn).toMatchObject({ paused: false, world: { fire: true } });
  });

  test('has no date: it takes sensors for new that the bench knows to have aged', async () => {
    await call(bench.page, 'restart', {});
    const aged = await serviceDaysLeft();
    await play({ text: DRILL });
    const inDrill = await serviceDaysLeft();
    await call(bench.page, 'restart', {});
    expect(inDrill).toBeGreaterThan(aged);
    expect(await serviceDaysLeft()).toBe(aged);
  });

  test('stands still while the clock does, and ends unjudged where it is stopped or another begins', async () => {
    const first = await play({ text: DRILL });
    await call(bench.page, 'clock', { paused: true });
    const still = (await call<Snapshot>(bench.page, 'now')).nowMs;
    expect((await call<Snapshot>(bench.page, 'now')).nowMs).toBe(still);
    await call(bench.page, 'drill', undefined, 'DELETE');
    await stream.next('drill.ended', { state: 'stopped', verdict: null }, first.sequence);
    expect(await report()).toMatchObject({ state: 'stopped', verdict: null, rules: [] });
    await expect(call(bench.page, 'drill', undefined, 'DELETE')).rejects.toThrow('no drill is playing');
    await call(bench.page, 'clock', { paused: false });

    const second = await play({ text: DRILL });
    const third = await play({ id: 'fire' });
    await stream.next('drill.ended', { state: 'stopped' }, second.sequence);
    expect(await report()).toMatchObject({ id: 'fire', state: 'playing' });
    await call(bench.page, 'restart', {});
    await stream.next('drill.ended', { state: 'stopped' }, third.sequence);
    await expect(report()).rejects.toThrow('404');
    expect((await call<Snapshot>(bench.page, 'now')).paused).toBe(false);
  });

  test('is refused with the place of what the rig lacks, and nothing begins', async () => {
    const { sequence: from } = await call<Snapshot>(bench.page, 'now');
    const lacking = DRILL.replace('to: coil-a', 'to: coil-z');
    await expect(play({ text: lacking })).rejects.toThrow('drill:9:30: steps[1].power.to: there is no');
    await expect(play({ text: 'drill: 2' })).rejects.toThrow('422');
    await expect(play({ text: DRILL.replace('50 s', '25 h') })).rejects.toThrow('longer than 24 h');
    await expect(play({ id: 'fires' })).rejects.toThrow('fire');
    // From the record itself: what the stream has not brought yet would be missed.
    const told = await call<{ events: { type: string }[] }>(bench.page, `events?after=${from}&limit=1000`);
    expect(told.events.map(({ type }) => type)).not.toContain('leakbench.bench.reset');
  });

  test('is one of those that are shipped, each with why it does not fit this rig, if it does not', async () => {
    const { drills } = await call<{ drills: DrillListing[] }>(bench.page, 'drills');
    const shipped = drills.filter(({ lesson }) => !lesson).map(({ id, fits }) => [id, fits]);
    expect(shipped).toEqual(SHIPPED.map((id) => [id, null]));
  });
});

/** Some polls long, so that no step falls between two polls that come the other way round in virtual time. */
const SOME_POLLS_REAL_MS = 300;
const somePolls = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, SOME_POLLS_REAL_MS));

test('what was done by hand is a drill that takes the same course, command by command', async () => {
  const { sequence } = await call<{ sequence: number }>(bench.page, 'restart', {});
  const step = (written: object): Promise<unknown> => call(bench.page, 'steps', written);
  const commanded = (output: string, on: boolean) => stream.next('command.changed', { output, on }, sequence);
  await step({ call: { cooling: true } });
  await commanded('compressor.b', true);
  await somePolls();
  await step({ release: { at: 'cabinet', kg: 0.4, emptiesIn: '20 s' } });
  await step({ fault: { in: 'coil-a', kind: 'late', by: '100 ms' } });
  await call(bench.page, 'clock', { speed: 10, paused: true });
  await step({ power: { to: 'coil-b', cut: 'stays' } });
  await call(bench.page, 'clock', { speed: 20, paused: false });
  await commanded('compressor.b', false);
  await commanded('trouble', true);
  await somePolls();
  await step({ power: { to: 'coil-b', restored: true } });
  await step({ mend: { in: 'coil-a' } });
  await commanded('trouble', false);
  await somePolls();
  const cut = await call<{ sequence: number }>(bench.page, 'steps', {
    power: { to: 'controller', cut: '10 s' },
  });
  const back = await stream.next('supervisor.started', { state: 'holding' }, cut.sequence);
  await stream.next('command.changed', { output: 'fan', on: true }, back.sequence);
  await somePolls();
  const { text, steps, fromMs } = await call<Recording>(bench.page, 'recording?name=By%20hand');
  const live = stream.events.filter(({ sequence: at, data }) => at > sequence && data.atMs >= fromMs);
  expect(steps).toBe(7);

  const file = join(mkdtempSync(join(tmpdir(), 'leakbench-recording-')), 'by-hand.drill.yaml');
  writeFileSync(file, text);
  expect((await runToEnd(['check', file])).code).toBe(0);
  const loaded = loadDrill(file);
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  expect(loaded.value.name).toBe('By hand');
  const again = runBuiltIn(loaded.value, 1);
  const outputs = ['fan', 'damper', 'heat', 'alarm', 'trouble', 'compressor.a', 'compressor.b'];
  for (const output of outputs) {
    const found = live.flatMap(({ type, data: { fields } }) =>
      type === 'leakbench.command.changed' && fields['output'] === output ? [fields['on']] : [],
    );
    const expected = again.facts.flatMap((fact) =>
      fact.id === 'command.changed' && fact.fields.output === output ? [fact.fields.on] : [],
    );
    expect(found, output).toEqual(expected.slice(0, found.length));
    expect(expected.length - found.length, output).toBeLessThanOrEqual(1);
  }
  expect(again.leftOut).toEqual([]);
});
