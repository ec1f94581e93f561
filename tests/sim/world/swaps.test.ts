/** Sensors that hold each other's address: one swap at a time, whatever is put in on top of it. */
import { expect, test } from 'vitest';
import { unitId } from '../../../src/units/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { requestsOf, Scene } from '../drill/scene.ts';

const base = demoRig();
const COILS = ['coil-a', 'coil-b', 'coil-c'] as const;
const RIG = {
  ...base,
  sensors: base.sensors.flatMap((one) =>
    one.id === 'coil-b' && one.kind === 'modbus'
      ? [one, { ...one, id: 'coil-c', unitId: unitId(13), serial: '240813' }]
      : [one],
  ),
};
const swap = (target: string, other: string, more: object = {}) => ({
  fault: { in: target, kind: 'swapped', with: other, ...more },
});
const mend = (target: string) => ({ mend: { in: target } });

/** By address: whose serial answers there, its last figure alone, and whether the planned one is sound. */
function after(...steps: readonly object[]): readonly (readonly [string, boolean | undefined])[] {
  const scene = new Scene(RIG);
  for (const [index, step] of steps.entries()) scene.at(10 + index).step(step);
  scene.at(20);
  for (const address of [11, 12, 13]) {
    scene.ask(address, { kind: 'read', functionCode: 4, address: 0, quantity: 19 });
  }
  const trace = scene.trace();
  return COILS.map((id) => {
    const sound = trace.sensors.find((sensor) => sensor.id === id)?.sound.at(-1)?.value;
    return [requestsOf(trace, id)[0]?.answer?.serial?.at(-1) ?? 'none', sound];
  });
}

const WELL = ['1', '2', '3'].map((figure) => [figure, true]);
// biome-ignore format: a table reads best in rows
const SWAPPED = [
  [[swap('coil-a', 'coil-b')],                                      ['2', '1', '3'], [false, false, true]],
  [[swap('coil-a', 'coil-b'), swap('coil-a', 'coil-b')],            ['2', '1', '3'], [false, false, true]],
  [[swap('coil-a', 'coil-b'), swap('coil-b', 'coil-a')],            ['2', '1', '3'], [false, false, true]],
  [[swap('coil-a', 'coil-b'), swap('coil-a', 'coil-c')],            ['3', '2', '1'], [false, true, false]],
  [[swap('coil-a', 'coil-b'), swap('coil-c', 'coil-b')],            ['1', '3', '2'], [true, false, false]],
  [[swap('coil-a', 'coil-b', { lasts: '3 s' }), swap('coil-a', 'coil-c')], ['3', '2', '1'], [false, true, false]],
] as const;

test.each(SWAPPED)('%j stands as it is shown, and mended everyone is where they were', (steps, at, sound) => {
  expect(after(...steps)).toEqual(at.map((figure, index) => [figure, sound[index]]));
  expect(after(...steps, ...COILS.map(mend))).toEqual(WELL);
});
