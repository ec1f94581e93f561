/** The judge looks on where the field I/O answers only now and then: at the supervisor, and at one who sleeps. */
import { expect, test } from 'vitest';
import { judge } from '../../../../sim/judge/index.ts';
import type { Partner } from '../../../../src/app/drill/exec-controller.ts';
import { judgedPolicy } from '../../../../src/app/drill/judged-policy.ts';
import { type DrillRun, runBuiltIn, runInLines } from '../../../../src/app/drill/run.ts';
import { ms } from '../../../../src/units/index.ts';
import { demoRig, stepFor } from '../../../helpers/demo.ts';
import { shippedDrill } from '../../../helpers/shipped-drills.ts';

const MINUTE = 60_000;
const base = demoRig();
/** The holds of a minute, so that the call is served again inside a short drill. */
const RIG = {
  ...base,
  policy: { ...base.policy, holdMs: ms(MINUTE), compressorMinOffMs: ms(MINUTE), resumeWithinMs: ms(MINUTE) },
};
/** What keeps the request from it, what is asked once more, what is not, and what the line waits for. */
const SLIGHT = [{ kind: 'io-silent' }, { kind: 'lossy' }, { kind: 'exception' }, { kind: 'late', by: '2 s' }];

function drillWith(fault: object) {
  const steps = [
    [30_000, { fault: { in: 'fieldIo', ...fault } }],
    [3 * MINUTE, { testGas: { at: 'coil-a', level: '40 %LFL', lasts: '1 min' } }],
  ] as const;
  return {
    ...shippedDrill('lossy-wire'),
    rig: RIG,
    lengthMs: ms(9 * MINUTE),
    calls: { cooling: true, heating: false, fan: false },
    steps: steps.map(([atMs, written]) => ({ atMs: ms(atMs), step: stepFor(RIG, written) })),
  };
}

function brokenIn({ trace }: DrillRun): readonly string[] {
  const results = judge(trace, judgedPolicy(RIG), [
    'ask',
    'start',
    'respond',
    'stay-off',
    'short-cycle',
    'resume',
  ]);
  return results.filter(({ result }) => result === 'broken').map(({ id }) => id);
}

/** Cools whatever comes, and is sound until the self-tests have been passed. */
function sleeper(): Partner {
  const say = (line: string): string => {
    const { t = 0, reset } = JSON.parse(line) as { t?: number; reset?: boolean };
    if (reset === true) return '{"ready":true}';
    const cools = t > 35_000;
    const compressors = { a: cools, b: cools };
    return JSON.stringify({
      fan: true,
      damper: true,
      heat: false,
      alarm: false,
      trouble: false,
      compressors,
    });
  };
  return { tail: [], exchange: (line) => Promise.resolve(say(line)), kill: () => Promise.resolve() };
}

test.each([{ kind: 'lossy' }, { kind: 'lossy', probability: 0.01 }, { kind: 'late', by: '1 ms' }])(
  'with %j in the field I/O whoever runs through gas is seen',
  async (fault) => {
    expect(brokenIn(await runInLines(drillWith(fault), 1, sleeper))).toContain('respond');
  },
);

test('where the watchdog lets go in the gas over a lost request, whoever starts again in it is seen', async () => {
  const run = await runInLines(drillWith({ kind: 'io-silent', probability: 0.7 }), 2, sleeper);
  expect(run.trace.commandsLost.length).toBeGreaterThan(2);
  expect(brokenIn(run)).toContain('stay-off');
});

test.each(SLIGHT)('with %j in the field I/O, half the time, the supervisor breaks nothing', (fault) => {
  expect(brokenIn(runBuiltIn(drillWith({ ...fault, probability: 0.5 }), 1))).toEqual([]);
});
