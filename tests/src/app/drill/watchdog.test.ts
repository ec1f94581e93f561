/** Controllers that write too rarely, or never completely: what the watchdog did is not told as their doing. */
import { expect, test } from 'vitest';
import { TraceRecorder } from '../../../../sim/drill/trace-recorder.ts';
import { judgedRun, type RunBy } from '../../../../src/app/drill/judged-run.ts';
import { runBuiltIn, runInLines } from '../../../../src/app/drill/run.ts';
import { VirtualWorld } from '../../../../src/app/virtual-world.ts';
import { type Ms, ms } from '../../../../src/units/index.ts';
import { shippedDrill } from '../../../helpers/shipped-drills.ts';
import { inProcess, SOUND } from '../../../mutants/variant.ts';

const BY: RunBy = { seed: 1, controller: 'exec:demo', host: 'virtual', liveOptions: [] };
const DAY = shippedDrill('ordinary-day');
const CALLED = { ...DAY, lengthMs: ms(6 * 60_000), steps: DAY.steps.filter(({ atMs }) => atMs < 6 * 60_000) };
const LEAK = shippedDrill('short-leak');

test('one that writes every seven seconds breaks the rules, and is told how', async () => {
  const { rig } = CALLED;
  const lines = rig.lines.map((line) => ({ ...line, pollEveryMs: ms(7000) }));
  const slow = { ...CALLED, rig: { ...rig, lines } };
  const { rules, notes } = judgedRun(slow, await runInLines(slow, 1, inProcess(SOUND)), BY);
  const because = (id: string) => rules.find((rule) => rule.id === id && rule.result === 'broken')?.because;
  const dropped =
    /^No complete write had come for 5 s by 0:0\d:\d\d, so the field I\/O’s watchdog dropped the outputs\.$/u;
  expect(because('short-cycle')?.[1]).toMatch(dropped);
  expect(because('no-nuisance')?.[1]).toMatch(dropped);
  expect(notes).toEqual([
    expect.stringMatching(
      /^The field I\/O’s watchdog held the outputs \d\d times between 0:00:05 and 0:0\d:\d\d \(.+ in all\), since/u,
    ),
  ]);
});

test('one that never writes holds what only the watchdog did, and that is said', () => {
  const recorder = new TraceRecorder(LEAK.rig, { startMs: 0, asksItself: false });
  const virtual = new VirtualWorld(LEAK.rig, 1, recorder.observe);
  const until = (atMs: Ms) => Array.from(virtual.moments(atMs, () => Number.POSITIVE_INFINITY));
  virtual.apply({ kind: 'call', calls: { cooling: true, heating: false, fan: false } });
  for (const { atMs, step } of LEAK.steps) {
    until(atMs);
    virtual.apply(step);
  }
  until(LEAK.lengthMs);
  const trace = recorder.finish(LEAK.lengthMs);
  const nobody = { trace, facts: [], trouble: [], leftOut: [], pollReport: null, heldUp: null };
  const { rules, notes } = judgedRun(LEAK, nobody, BY);
  expect(rules.find(({ id }) => id === 'chain')).toMatchObject({ result: 'held', marginS: 45 });
  expect(notes[0]).toMatch(
    /^The field I\/O’s watchdog held the outputs from 0:00:05 to 0:\d\d:00, since no /u,
  );
  expect(notes[1]).toMatch(/^The call for cooling stood for \d+ min and was never served\.$/u);
});

test('one that writes in time gets no such note, whatever is cut', () => {
  for (const id of ['cut-in-the-gas', 'dark-while-cooling', 'lossy-wire']) {
    const drill = shippedDrill(id);
    expect([id, judgedRun(drill, runBuiltIn(drill, 1), BY).notes]).toEqual([id, []]);
  }
});
