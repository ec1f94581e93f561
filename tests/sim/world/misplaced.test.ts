/** True gas at a sensor that is moved: told at once, as wherever else it changes. */
import { expect, test } from 'vitest';
import type { Trace } from '../../../sim/judge/trace.ts';
import { Scene } from '../drill/scene.ts';

const AWAY = { fault: { in: 'coil-a', kind: 'misplaced', at: 'room-high' } };
const BACK = { mend: { in: 'coil-a' } };

function gasAt(trace: Trace, seconds: number): number {
  const gas = trace.sensors.find(({ id }) => id === 'coil-a')?.gas ?? [];
  return gas.findLast(({ atMs }) => atMs <= seconds * 1000)?.value ?? 0;
}

test('out of a cabinet full of gas it is in the air of the room, and mended in the gas again', () => {
  const scene = new Scene().step({ release: { at: 'cabinet', rate: '30 g/s', lasts: '20 s' } });
  const trace = scene.at(20).step(AWAY).at(21).step(BACK).at(22).trace();
  expect(gasAt(trace, 20)).toBeLessThan(25);
  expect(gasAt(trace, 21)).toBeGreaterThan(25);
  // Sound from the moment on at which the gas is there again: the chain counts it.
  const sensor = trace.sensors.find(({ id }) => id === 'coil-a');
  expect(sensor?.sound.at(-1)).toEqual({ atMs: 21_000, value: true });
  expect(sensor?.gas.at(-1)?.atMs).toBeGreaterThanOrEqual(21_000);
});

test('with a hose held to it, it feels what the hose brings', () => {
  const scene = new Scene().step({ testGas: { at: 'coil-a', level: '40 %LFL' } });
  expect(gasAt(scene.at(5).step(AWAY).at(6).trace(), 6)).toBe(40);
});
