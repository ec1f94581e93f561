/**
 * A bench whose disk fills up while it runs, and has room again. The kernel refuses every write to a file
 * (RLIMIT_FSIZE): a write-ahead log cannot grow, as on a full disk, and other files cannot either.
 */
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import type { Snapshot } from '../../src/api/snapshot-schema.ts';
import { packageRoot } from '../../src/files/index.ts';
import { openReader, verifyRecord } from '../../src/record/index.ts';
import { freshFolder, runToEnd, startBench } from '../helpers/bench-process.ts';
import { call, postStep, Stream } from '../helpers/outside-view.ts';

const RIG = join(packageRoot(), 'tests/live/quick.rig.yaml');
const COMMON = ['--bus', 'tcp://127.0.0.1:0'];
/** Of bench time: hold, rest of the compressors and proof of the fan, one after the other. */
const LONG_ENOUGH_MS = 60_000;

function pause(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, 20));
}

function disk(pid: number | undefined, room: 'full' | 'free'): void {
  execFileSync('prlimit', ['--pid', String(pid), `--fsize=${room === 'full' ? 0 : 'unlimited'}:unlimited`]);
}

test.runIf(process.platform === 'linux')(
  'it trips, releases nothing, says so, loses nothing that it told, and goes on',
  async () => {
    const data = freshFolder();
    const bench = await startBench(['serve', RIG, '--speed', '20', '--data', data, ...COMMON]);
    onTestFinished(() => void bench.child.kill('SIGKILL'));
    const said: string[] = [];
    bench.child.stderr?.on('data', (chunk: Buffer) => said.push(chunk.toString()));
    const stream = new Stream(bench.page);
    onTestFinished(() => {
      stream.close();
    });
    const now = (): Promise<Snapshot> => call<Snapshot>(bench.page, 'now');
    const seen = async (isSo: (snapshot: Snapshot) => boolean): Promise<Snapshot> => {
      for (;;) {
        const snapshot = await now();
        if (isSo(snapshot)) return snapshot;
        await pause();
      }
    };
    const runs = ({ world }: Snapshot): boolean => world?.terminals['compressor.a'] === true;
    await postStep(bench.page, { call: { cooling: 'on' } });
    await seen(runs);

    disk(bench.child.pid, 'full');
    await postStep(bench.page, { testGas: { at: 'coil-a', level: '60 %LFL', lasts: '2 s' } });
    const tripped = await seen(({ supervisor }) => supervisor?.state === 'mitigating');
    const off = await seen(
      ({ world }) => world?.terminals['fan'] === true && world.terminals['compressor.a'] === false,
    );
    expect(off.world?.terminals['heat']).toBe(false);
    expect(off.recordTrouble).toMatch(/room/u);
    const ready = await fetch(`${bench.page}/readyz`);
    expect([ready.status, await ready.text()]).toEqual([503, expect.stringContaining('Nothing is released')]);
    await expect(call(bench.page, 'clock', { speed: 19 })).rejects.toThrow(/503: .*room/u);
    const late = await seen(({ nowMs }) => nowMs > tripped.nowMs + LONG_ENOUGH_MS);
    expect([late.supervisor?.state, runs(late), late.speed]).toEqual(['holding', false, 20]);
    expect(late.sequence).toBe(stream.events.at(-1)?.sequence);

    disk(bench.child.pid, 'free');
    await stream.next('mitigation.changed', { from: 'holding', to: 'running' }, late.sequence);
    await seen(runs);
    expect((await fetch(`${bench.page}/readyz`)).status).toBe(200);
    expect((await now()).recordTrouble).toBeNull();
    const course = stream.events.filter(
      ({ sequence, type }) => sequence > late.sequence && type.endsWith('mitigation.changed'),
    );
    expect(course.map(({ data: { fields } }) => fields['to'])).toEqual(['mitigating', 'holding', 'running']);
    expect(stream.events.some(({ type }) => type.endsWith('facts.lost'))).toBe(true);
    const told = [...stream.events];
    expect(await bench.stop()).toBe(130);
    expect(verifyRecord(data).unsound).toEqual([]);
    const reader = openReader(data);
    expect([...reader.events(0)].slice(0, told.length)).toEqual(told);
    reader.close();
    expect(said.join('').match(/takes nothing/gu)?.length).toBeLessThan(6);
  },
);

test.runIf(process.platform === 'linux')(
  'it does not begin where nothing can be stored, and says what to do',
  async () => {
    const data = freshFolder();
    const first = await startBench(['serve', RIG, '--data', data, ...COMMON]);
    await first.stop();
    const ended = await runToEnd(
      ['serve', RIG, '--port', '0', '--data', data, ...COMMON],
      [],
      ['prlimit', '--fsize=0'],
    );
    expect([ended.code, ended.stderr]).toEqual([3, expect.stringMatching(/record.*(room|writable)/u)]);
    expect(ended.stderr).not.toMatch(/^\s+at /mu);
    expect(verifyRecord(data).unsound).toEqual([]);
  },
);

test.runIf(process.platform === 'linux')(
  'a controller’s start is told before it releases, and after an end on a full disk the next one holds',
  async () => {
    const data = freshFolder();
    const bench = await startBench(['serve', RIG, '--speed', '20', '--data', data, ...COMMON]);
    onTestFinished(() => void bench.child.kill('SIGKILL'));
    const stream = new Stream(bench.page);
    const { sequence } = await stream.next('mitigation.changed', { to: 'running' });
    disk(bench.child.pid, 'full');
    // A controller that comes back while nothing can be recorded is no other one's rival, and is told later.
    await postStep(bench.page, { power: { to: 'controller', cut: '1 s' } });
    while ((await call<Snapshot>(bench.page, 'now')).supervisor?.state !== 'holding') await pause();
    disk(bench.child.pid, 'free');
    const started = await stream.next('supervisor.started', { state: 'holding' }, sequence);
    await stream.next('mitigation.changed', { from: 'holding', to: 'running' }, started.sequence);
    stream.close();
    disk(bench.child.pid, 'full');
    // Its end could not be recorded: that is no orderly one.
    expect(await bench.stop()).toBe(3);
    const again = await startBench(['serve', RIG, '--speed', '20', '--data', data, ...COMMON]);
    const restarted = new Stream(again.page);
    await restarted.next('supervisor.started', { state: 'holding' });
    restarted.close();
    await again.stop();
  },
);
