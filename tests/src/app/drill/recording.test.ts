/** What is done by hand beyond what a drill file takes is left out, so that the file is one that can be read. */
import { expect, test } from 'vitest';
import { LENGTH_MS_MAX, STEPS_MAX } from '../../../../sim/drill/drill-schema.ts';
import { drillOn, readDrillText } from '../../../../sim/drill/index.ts';
import { Recording } from '../../../../src/app/drill/recording.ts';
import { ms } from '../../../../src/units/index.ts';
import { demoRig } from '../../../helpers/demo.ts';

const RIG = demoRig();
const FIRE = { fire: 'on' };

function read(text: string) {
  const written = readDrillText('recorded', text);
  const drill = written.ok ? drillOn(RIG, 'recorded', written.value) : written;
  if (!drill.ok) throw new Error(JSON.stringify(drill.problems[0]));
  return drill.value;
}

test('a step more than a drill file takes is not recorded, and the file says so', () => {
  const recording = new Recording(RIG, ms(0));
  for (let step = 0; step <= STEPS_MAX; step += 1) recording.take(ms(step), FIRE);
  const { steps, text } = recording.told(ms(STEPS_MAX));
  expect(steps).toBe(STEPS_MAX);
  expect(text).toContain('Recording ended before the bench did');
});

test('nor is what comes later than a drill may last', () => {
  const recording = new Recording(RIG, ms(5000));
  recording.take(ms(5000 + LENGTH_MS_MAX), FIRE);
  expect(recording.told(ms(5000 + LENGTH_MS_MAX)).text).not.toContain('Recording ended');
  recording.take(ms(5001 + LENGTH_MS_MAX), FIRE);
  const { steps, text } = recording.told(ms(2 * LENGTH_MS_MAX));
  expect([steps, read(text).lengthMs]).toEqual([1, LENGTH_MS_MAX]);
  expect(text).toContain('Recording ended before the bench did');
});
