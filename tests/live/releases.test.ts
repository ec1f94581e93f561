/**
 * The three releases, live at speed 20 over real sockets: the same times as in virtual time, within 2 s of
 * bench time (worked out apart from this project, computed), the lingering one with its recheck.
 */
import { afterAll, expect, test } from 'vitest';
import { freshFolder, startBench } from '../helpers/bench-process.ts';
import { postStep, Stream } from '../helpers/outside-view.ts';

const closers: (() => unknown)[] = [];

afterAll(async () => {
  await Promise.all(closers.map((close) => close()));
});

/** Seconds from the start of the leak to each change of the mitigation, as [state, seconds]. */
async function changesAfterLeak(
  release: object,
  untilLast: { to: string; times: number },
): Promise<[string, number][]> {
  const data = freshFolder();
  const bench = await startBench(['serve', '--speed', '20', '--data', data, '--bus', 'tcp://127.0.0.1:0']);
  const stream = new Stream(bench.page);
  closers.push(
    () => {
      stream.close();
    },
    () => bench.stop(),
  );
  const ready = await stream.next('mitigation.changed', { to: 'running' });
  await postStep(bench.page, { release: { at: 'cabinet', ...release } });
  const began = await stream.next('release.started', {}, ready.sequence);
  await postStep(bench.page, { call: { cooling: 'off' } });
  let after = began.sequence;
  for (let seen = 0; seen < untilLast.times; seen += 1) {
    after = (await stream.next('mitigation.changed', { to: untilLast.to }, after)).sequence;
  }
  return stream.events
    .filter(({ type, sequence }) => type === 'leakbench.mitigation.changed' && sequence > began.sequence)
    .map(({ data }) => [String(data.fields['to']), (data.atMs - began.data.atMs) / 1000]);
}

function expectTimes(changes: readonly [string, number][], expected: readonly [string, number][]): void {
  expect(changes.map(([state]) => state)).toEqual(expected.map(([state]) => state));
  expected.forEach(([, atS], index) => {
    expect(Math.abs((changes[index]?.[1] ?? Number.NaN) - atS)).toBeLessThanOrEqual(2);
  });
}

test.concurrent('6 g/s for 2 min: at the setpoint after 17 s, below it at 30 s, running again at 330 s', async () => {
  const changes = await changesAfterLeak({ rate: '6 g/s', lasts: '2 min' }, { to: 'running', times: 1 });
  expectTimes(changes, [
    ['mitigating', 17],
    ['holding', 30],
    ['running', 330],
  ]);
});

test.concurrent('10 g/s for 7 min: gas is back at 150 s, and only at 748 s does the recheck let go', async () => {
  const changes = await changesAfterLeak({ rate: '10 g/s', lasts: '7 min' }, { to: 'running', times: 1 });
  expectTimes(changes, [
    ['mitigating', 12],
    ['holding', 29],
    ['mitigating', 150],
    ['holding', 448],
    ['running', 748],
  ]);
});

test.concurrent('the whole charge in 4 min: trips after 8 s', async () => {
  const changes = await changesAfterLeak(
    { kg: '4.2 kg', emptiesIn: '4 min' },
    { to: 'mitigating', times: 1 },
  );
  expectTimes(changes, [['mitigating', 8]]);
});
