/** What the published schema of rigs refuses the bench refuses too. */
import { expect, test } from 'vitest';
import { editorSays } from '../../helpers/editor.ts';
import { load, SMALLEST, sensorWith } from './rig-text.ts';

test.each([
  SMALLEST.replace('rig: 1', 'rig: 2'),
  SMALLEST.replace('charge: 4.2 kg\n', ''),
  SMALLEST.replace('4.2 kg', '4.2'),
  SMALLEST.replace('4.2 kg', '4.2 m'),
  SMALLEST.replace('4.2 kg', '-4.2 kg'),
  SMALLEST.replace('R-32', '{ name: mine, lfl: 0.3 kg/m3 }'),
  SMALLEST.replace('height: 2.5 m', 'hight: 2.5 m'),
  SMALLEST.replace('height: 2.5 m', 'height: 2.5 m, layers: { returnFrom: middle }'),
  sensorWith('unitId: 248'),
  sensorWith('unitId: eleven'),
  sensorWith('unitId: 11, serial: 240811'),
  sensorWith('unitId: 11, installed: 1 March'),
  sensorWith('unitId: 11, noise: -1 %LFL'),
  sensorWith('unitId: 11, driftPerYear: { span: 2 }'),
  sensorWith('kind: contact'),
  sensorWith('kind: contact, input: 24'),
  sensorWith('kind: contact, input: 8, unitId: 11'),
  `${SMALLEST}heat: maybe\n`,
  `${SMALLEST}circuits: [1a]\n`,
  `${SMALLEST}lines: []\n`,
  `${SMALLEST}lines: [{ id: main, allow: [here] }]\n`,
  `${SMALLEST}lines: [{ id: main, pace: { baud: 12 } }]\n`,
  `${SMALLEST}policy: { hold: 300 }\n`,
  `${SMALLEST}policy: { latchAfter: on }\n`,
  `${SMALLEST}policy: { latchAfter: { trips: 3 } }\n`,
])('%s', (text) => {
  expect(load(text).problems).not.toEqual([]);
  expect(editorSays('rig', text)).not.toEqual([]);
});
