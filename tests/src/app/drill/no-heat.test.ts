/** A unit without electric heat: nobody commands it any, and nobody is judged by it. */
import { expect, test } from 'vitest';
import { judgedRun } from '../../../../src/app/drill/judged-run.ts';
import { runBuiltIn } from '../../../../src/app/drill/run.ts';
import { demoRig } from '../../../helpers/demo.ts';
import { shippedDrill } from '../../../helpers/shipped-drills.ts';

const RIG = { ...demoRig(), heat: false };
const HEATING = {
  ...shippedDrill('ordinary-day'),
  rig: RIG,
  steps: [],
  expectations: [],
  calls: { cooling: false, heating: true, fan: false },
};

test('a call for heating on it is served by nothing, which breaks no rule', () => {
  const run = runBuiltIn(HEATING, 1);
  expect(run.trace.outputs.has('heat')).toBe(false);
  const { rules } = judgedRun(HEATING, run, {
    ...{ seed: 1, controller: 'builtin', host: 'virtual', liveOptions: [] },
  });
  expect(rules.filter(({ result }) => result === 'broken')).toEqual([]);
  expect(rules.find(({ id }) => id === 'resume')).toMatchObject({ result: 'not exercised' });
});
