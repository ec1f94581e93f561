/** Fan, compressors and heat behind their terminals, and the faults that part the two. */
import { expect, test } from 'vitest';
import {
  airflowReads,
  blowsFromMs,
  drivePlant,
  isBlowing,
  newPlant,
  stuckTerminals,
  type Terminals,
} from '../../../sim/equipment/index.ts';
import type { Fault } from '../../../sim/faults/index.ts';
import { ms } from '../../../src/units/index.ts';

const CIRCUITS = ['a', 'b'];
const OFF: Terminals = {
  fan: false,
  damper: false,
  heat: false,
  trouble: false,
  alarm: false,
  compressors: [false, false],
};
const NONE = new Map<string, readonly Fault[]>();
const fault = (kind: Fault['kind'], parameters: object = {}): Fault =>
  ({ kind, parameters, probability: 1 }) as unknown as Fault;

test('air begins once the spin-up is over, and ends with the fan', () => {
  const plant = newPlant(ms(4000), 2);
  expect(blowsFromMs(plant, ms(0))).toBe(Number.POSITIVE_INFINITY);
  drivePlant(plant, { ...OFF, fan: true }, CIRCUITS, NONE, true, ms(1000));
  expect(blowsFromMs(plant, ms(1000))).toBe(5000);
  expect(isBlowing(plant, ms(4999))).toBe(false);
  expect(isBlowing(plant, ms(5000))).toBe(true);
  expect(blowsFromMs(plant, ms(5000))).toBe(Number.POSITIVE_INFINITY);
  // Commanded on again and again it does not spin up again.
  drivePlant(plant, { ...OFF, fan: true }, CIRCUITS, NONE, true, ms(6000));
  expect(isBlowing(plant, ms(6000))).toBe(true);
  drivePlant(plant, OFF, CIRCUITS, NONE, true, ms(7000));
  expect(isBlowing(plant, ms(7000))).toBe(false);
});

test('a dead fan moves nothing', () => {
  const plant = newPlant(ms(0), 2);
  const faults = new Map([['fan', [fault('fan-dead')]]]);
  drivePlant(plant, { ...OFF, fan: true }, CIRCUITS, faults, true, ms(0));
  expect(isBlowing(plant, ms(0))).toBe(false);
});

test('a welded compressor runs whatever is commanded, but not without supply', () => {
  const plant = newPlant(ms(0), 2);
  const faults = new Map([['compressor.b', [fault('compressor-welded')]]]);
  drivePlant(plant, { ...OFF, compressors: [true, false] }, CIRCUITS, faults, true, ms(0));
  expect(plant.compressorRunning).toEqual([true, true]);
  drivePlant(plant, { ...OFF, heat: true }, CIRCUITS, faults, true, ms(1));
  expect(plant.compressorRunning).toEqual([false, true]);
  expect(plant.heating).toBe(true);
  drivePlant(
    plant,
    { ...OFF, fan: true, heat: true, compressors: [true, true] },
    CIRCUITS,
    faults,
    false,
    ms(2),
  );
  expect(plant).toMatchObject({ fanSinceMs: null, heating: false, compressorRunning: [false, false] });
});

test('a stuck terminal stays as it is told, and only that one', () => {
  expect(stuckTerminals(OFF, CIRCUITS, NONE)).toBe(OFF);
  const faults = new Map([
    ['output.heat', [fault('output-stuck', { reads: true })]],
    ['output.compressor.a', [fault('output-stuck', { reads: true })]],
    ['output.fan', [fault('output-stuck', {})]],
  ]);
  expect(stuckTerminals({ ...OFF, fan: true }, CIRCUITS, faults)).toEqual({
    ...OFF,
    fan: true,
    heat: true,
    compressors: [true, false],
  });
});

test('the airflow switch tells the air, unless it is stuck', () => {
  expect(airflowReads(true, NONE)).toBe(true);
  expect(airflowReads(false, NONE)).toBe(false);
  const stuck = new Map([['airflow', [fault('airflow-switch-stuck', { reads: true })]]]);
  expect(airflowReads(false, stuck)).toBe(true);
});
