/** The drills that come with the bench, on the rig that is on it: all of them, or why not. */
import { readdirSync } from 'node:fs';
import { basename, join } from 'node:path';
import { beforeAll, describe, expect, test } from 'vitest';
import { loadDrill, misfitOf, shippedDrills } from '../../../sim/drill/index.ts';
import { packageRoot } from '../../../src/files/index.ts';
import { demoRig } from '../../helpers/demo.ts';
import { rigOf } from '../../src/survey/rigs.ts';

const ON_DEMO = await shippedDrills(demoRig());
const FOLDERS = ['library', 'lessons'].map((folder) => join(packageRoot(), 'sim/drill', folder));
const FILES = FOLDERS.flatMap((folder) =>
  readdirSync(folder).flatMap((name) => (name.endsWith('.drill.yaml') ? [join(folder, name)] : [])),
);

test('every file is there once, by its name', () => {
  const ids = ON_DEMO.map(({ id }) => id);
  expect(ids.toSorted()).toEqual(FILES.map((file) => basename(file, '.drill.yaml')).toSorted());
  expect(new Set(ids).size).toBe(ids.length);
  expect(ids.length).toBeGreaterThan(45);
});

test('those of the folder of lessons, and no others, are lessons', () => {
  const lessons = ON_DEMO.filter(({ written }) => written.lesson !== undefined);
  expect(lessons.map(({ id }) => id)).toEqual(
    readdirSync(FOLDERS[1] ?? '').map((name) => name.slice(0, -11)),
  );
});

test.each(FILES)('%s can be read with its own rig, too', (file) => {
  expect(loadDrill(file)).toMatchObject({ ok: true, warnings: [] });
});

describe('on the demo rig', () => {
  test.each(ON_DEMO.map((drill) => [drill.id, drill] as const))('%s can be played', (_, drill) => {
    expect(misfitOf(drill)).toBeNull();
    expect(drill.outcome).toMatchObject({ ok: true, value: { rig: { name: demoRig().name } } });
  });
});

describe('on another rig', () => {
  const head = 'rig: 1\nrefrigerant: R-32\ncharge: 2 kg\nroom: { floor: 24 m2, height: 2.5 m }\n';
  const smaller = `${head}circuits: [a]\nsensors: [{ id: coil-a, at: cabinet, unitId: 11, serial: "1" }]\n`;
  let misfits: Readonly<Record<string, string | null>> = {};
  beforeAll(async () => {
    const drills = await shippedDrills(rigOf(smaller));
    misfits = Object.fromEntries(drills.map((drill) => [drill.id, misfitOf(drill)]));
  });

  test.each([
    ['case-01-what-is-normal', 'Not on this rig: there is no signal "compressor.b".'],
    ['case-04-one-silent-in-a-leak', 'Not on this rig: there is no "coil-b".'],
    ['case-05-exchanged', 'Not on this rig: takes another Modbus sensor of its line: there is none.'],
    ['case-08-a-broken-wire', 'Not on this rig: there is no "grille".'],
    ['test-gas-coil-b', 'Not on this rig: there is no "coil-b".'],
  ])('%s says what that lacks', (id, sentence) => {
    expect(misfits[id]).toBe(sentence);
  });

  test('what needs no more than it has can be played', () => {
    expect(misfits).toMatchObject({ fire: null });
  });
});
