/** What a sensor's day of installation does to the worlds of a bench. */
import { expect, test } from 'vitest';
import { Stage } from '../../../src/app/stage.ts';
import { benchClock } from '../../../src/clock/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig } from '../../helpers/demo.ts';

const rig = demoRig();
/** Past their service life, and coil-a reads gas where there is none; without a self-test, to be seen at once. */
const sensors = rig.sensors.map((one) => {
  if (one.kind !== 'modbus') return one;
  const driftPerYear = one.id === 'coil-a' ? { zeroPercentLfl: 1, spanShare: 0 } : null;
  return { ...one, ageMs: null, installed: '1990-01-01', selfTestMs: ms(0), driftPerYear };
});

test('a bench has its sensors as old as they are; a drill, which has no date, takes them for new', () => {
  const clock = benchClock(1);
  const stage = new Stage({ rig: { ...rig, sensors }, seed: 1, clock, observe: () => undefined });
  const lamps = (): readonly unknown[] => {
    const shown = stage.live.picture().sensors;
    return ['coil-a', 'coil-b'].map((id) => shown[id]?.lamp?.word);
  };
  const old = lamps();
  stage.begin(null, () => null);
  const asNew = lamps();
  stage.begin(Date.now(), () => null);
  const oldAgain = lamps();
  clock.stop();
  const [coil] = rig.sensors;
  const words = coil?.kind === 'modbus' ? coil.codec.profile.lamp : null;
  expect(old).toEqual([words?.gas.word, words?.serviceDue.word]);
  expect(asNew).toEqual([words?.measuring.word, words?.measuring.word]);
  expect(oldAgain).toEqual(old);
});
