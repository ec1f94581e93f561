/** A unit without electric heat: nobody commands it any, and nobody is judged by it. */
import { expect, test } from 'vitest';
import type { Drill } from '../../../../sim/drill/index.ts';
import { judgedRun } from '../../../../src/app/drill/judged-run.ts';
import { runBuiltIn } from '../../../../src/app/drill/run.ts';
import { ms } from '../../../../src/units/index.ts';
import { demoRig } from '../../../helpers/demo.ts';
import { shippedDrill } from '../../../helpers/shipped-drills.ts';

const RIG = { ...demoRig(), heat: false };
const HEATING: Drill = {
  ...shippedDrill('ordinary-day'),
  rig: RIG,
  steps: [],
  expectations: [
    {
      text: '',
      when: { atMs: ms(60_000) },
      // biome-ignore lint/suspicious/noThenProperty: an expectation's word
      then: { kind: 'signal', name: 'heat' },
      withinMs: ms(0),
      forMs: ms(0),
    },
  ],
  calls: { cooling: false, heating: true, fan: false },
};

test('a call for heating on it is served by nothing, which breaks no rule', () => {
  const run = runBuiltIn(HEATING, 1);
  expect(run.trace.outputs.has('heat')).toBe(false);
  const { rules, expectations } = judgedRun(HEATING, run, {
    ...{ seed: 1, controller: 'builtin', host: 'virtual', liveOptions: [] },
  });
  expect(expectations).toMatchObject([{ result: 'broken' }]);
  expect(rules.filter(({ result }) => result === 'broken')).toEqual([]);
  expect(rules.find(({ id }) => id === 'resume')).toMatchObject({ result: 'not exercised' });
});
