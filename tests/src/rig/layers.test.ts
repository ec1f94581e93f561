/** A room in two layers and a sheltered sensor, as a rig file says them; left out, nothing is different. */
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { loadRig, type Rig } from '../../../src/rig/index.ts';

const FILE = join(mkdtempSync(join(tmpdir(), 'leakbench-layers-')), 'layers.rig.yaml');

const rigText = (room: string, sensor = ''): string => `rig: 1
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m${room} }
sensors:
  - { id: coil, at: cabinet, unitId: 11${sensor} }
  - { id: grille, at: room-low, kind: contact, input: 8${sensor} }
`;

function load(room: string, sensor = ''): Rig | readonly string[] {
  writeFileSync(FILE, rigText(room, sensor));
  const loaded = loadRig(FILE);
  if (loaded.ok) return loaded.value;
  return loaded.problems.map(({ line, column, message }) => `${line}:${column}: ${message}`);
}

function rigOf(room: string, sensor = ''): Rig {
  const loaded = load(room, sensor);
  if (!('room' in loaded)) throw new Error(loaded.join('; '));
  return loaded;
}

describe('layers of a room', () => {
  test('are none where none are written', () => {
    expect(rigOf('').room).toEqual({ floorM2: 24, heightM: 2.5, airChangesPerS: 0 });
    expect(rigOf('').sensors.map((sensor) => 'exposure' in sensor)).toEqual([false, false]);
  });

  test('have a default for everything', () => {
    expect(rigOf(', layers: {}').room.layers).toEqual({
      lowM: 0.5,
      mixingM3PerS: 20 / 3600,
      drainM3PerS: 15 / 3600,
      returnFrom: 'low',
      outsideInto: 'high',
      outsideOutOf: 'high',
    });
  });

  test('are taken as written', () => {
    const written =
      '{ low: 60 cm, mixing: 36 m3/h, drain: 0 m3/h, returnFrom: high, outsideInto: low, outsideOutOf: low }';
    expect(rigOf(`, layers: ${written}`).room.layers).toEqual({
      lowM: 0.6,
      mixingM3PerS: 0.01,
      drainM3PerS: 0,
      returnFrom: 'high',
      outsideInto: 'low',
      outsideOutOf: 'low',
    });
  });

  test.each([
    ['yes', '4:46: room.layers: takes a map of keys and values'],
    [
      '{ low: 2.5 m }',
      '4:53: room.layers.low: takes less than the height of the room: the high layer lies above it',
    ],
    ['{ low: 0 m }', '4:53: room.layers.low: must be more than zero'],
    [
      '{ mixing: 20 m3 }',
      '4:56: room.layers.mixing: "m3" is not a unit it takes; write one of m3/h, m3/s, m3/min, l/s, cfm',
    ],
    ['{ drain: -1 m3/h }', '4:55: room.layers.drain: cannot be negative'],
    ['{ returnFrom: floor }', '4:60: room.layers.returnFrom: takes low or high'],
    ['{ lows: 1 m }', '4:48: room.layers: "lows" is not known here; did you mean "low"?'],
  ])('%s is refused in one line', (written, problem) => {
    expect(load(`, layers: ${written}`)).toEqual([problem]);
  });
});

describe('the exposure of a sensor', () => {
  test('is of a Modbus sensor and of a contact alike', () => {
    const both = rigOf('', ', exposure: sheltered').sensors;
    expect(both.map(({ exposure }) => exposure)).toEqual(['sheltered', 'sheltered']);
    const [one] = rigOf('', ', exposure: stream').sensors;
    expect(one?.exposure).toBe('stream');
  });

  test('that there is not is refused', () => {
    const problems = load('', ', exposure: windy');
    expect(problems).toEqual([
      '6:52: sensors[0].exposure: takes stream or sheltered',
      '7:68: sensors[1].exposure: takes stream or sheltered',
    ]);
  });
});
