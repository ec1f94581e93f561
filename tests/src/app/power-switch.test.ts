/** The switch of the controller's power: what it passes on, and what becomes of a failure. */
import { expect, test } from 'vitest';
import { PowerSwitch } from '../../../src/app/power-switch.ts';

test('the controller is powered while neither its own supply nor that of the rig is cut', () => {
  const set: boolean[] = [];
  const power = new PowerSwitch(() => undefined);
  power.changed('rig', false);
  power.controller = { set: (on) => set.push(on) };
  power.changed('rig', true);
  power.changed('controller', false);
  power.changed('rig', false);
  power.changed('coil-a', false);
  power.changed('controller', true);
  power.changed('rig', true);
  expect(set).toEqual([true, false, true]);
});

test('a power-up that fails is told of, and harms nobody who cut the power', async () => {
  const failures: unknown[] = [];
  const unhandled: unknown[] = [];
  const hear = (reason: unknown): void => void unhandled.push(reason);
  process.on('unhandledRejection', hear);
  const power = new PowerSwitch((error) => failures.push(error));
  power.controller = { set: (on) => (on ? Promise.reject(new Error('no record')) : undefined) };
  power.changed('controller', false);
  power.changed('controller', true);
  await new Promise((resolve) => setImmediate(resolve));
  process.off('unhandledRejection', hear);
  expect(failures).toEqual([new Error('no record')]);
  expect(unhandled).toEqual([]);
});
