/** What a technician finds at the demo rig, by what was done to it. */
import { describe, expect, test } from 'vitest';
import { FAULTS } from '../../../../sim/faults/index.ts';
import { fieldViewSchema } from '../../../../src/api/class-schema.ts';
import { fieldAfter, RIG, sensorIn, type Timed, voltsAt } from './field.ts';

const S = 1000;
const COOLING: Timed = [1 * S, { call: { cooling: 'on' } }];
const FAN: Timed = [1 * S, { call: { fan: 'on' } }];
const fault = (target: string, kind: string, more: object = {}): Timed => [
  2 * S,
  { fault: { in: target, kind, ...more } },
];
const LEAK: Timed = [60 * S, { release: { at: 'cabinet', rate: '10 g/s', lasts: '3 min' } }];

describe('a sensor', () => {
  test.each([
    ['as it is', [], true, 24, 'measuring'],
    ['with its switch off', [[2 * S, { power: { to: 'coil-a', cut: 'stays' } }]], false, 0, 'no power'],
    ['whose supply does not arrive', [fault('coil-a', 'no-power')], true, 0, 'no power'],
    ['that is silent', [fault('coil-a', 'silent')], true, 24, 'measuring'],
    ['that has failed', [fault('coil-a', 'self-failed')], true, 24, 'failed'],
    ['at its end', [fault('coil-a', 'worn-out')], true, 24, 'service due'],
  ] as const)(
    '%s has switch, meter and lamp as a technician would find them',
    (_, steps, switchedOn, volts, word) => {
      const view = fieldAfter(steps, 60 * S);
      expect(sensorIn(view, 'coil-a')).toMatchObject({ switchedOn, lamp: { word } });
      expect(voltsAt(view, 'supply.coil-a')).toBe(volts);
      expect(voltsAt(view, 'supply.coil-b')).toBe(24);
    },
  );

  test('has a label of its own, and a plan beside it that it agrees with', () => {
    const { label, plan, place, legend, kind } = sensorIn(fieldAfter([], 60 * S), 'coil-a');
    expect(label).toEqual({ part: 'reference', serial: '240811', address: 11 });
    expect([plan, place, kind]).toEqual([{ serial: '240811', address: 11 }, 'cabinet', 'modbus']);
    expect(legend).toContainEqual({ colour: 'red', hz: 2, word: 'gas' });
    expect(new Set(legend.map((row) => JSON.stringify(row))).size).toBe(legend.length);
  });

  test('that holds the address of another shows that address, and still its own serial', () => {
    const view = fieldAfter([fault('coil-a', 'swapped', { with: 'coil-b' })], 60 * S);
    expect(sensorIn(view, 'coil-a')).toMatchObject({
      label: { serial: '240811', address: 12 },
      plan: { address: 11 },
    });
    expect(sensorIn(view, 'coil-b')).toMatchObject({
      label: { serial: '240812', address: 11 },
      plan: { address: 12 },
    });
  });

  test('that is mounted elsewhere is found where it is', () => {
    const view = fieldAfter([fault('coil-b', 'misplaced', { at: 'room-high' })], 60 * S);
    expect(sensorIn(view, 'coil-b')).toMatchObject({ place: 'room-high', plannedPlace: 'cabinet' });
  });

  test('with a contact has neither label nor lamp', () => {
    expect(sensorIn(fieldAfter([], 60 * S), 'grille')).toMatchObject({
      kind: 'contact',
      label: null,
      plan: null,
      lamp: null,
      legend: [],
    });
  });
});

describe('a meter', () => {
  const gas: Timed = [2 * S, { testGas: { at: 'grille', level: '40 %LFL' } }];

  test.each([
    ['closed in clean air', [], 0, 0, 24],
    ['open at gas', [gas], 24, 24, 24],
    ['behind a broken wire', [fault('grille', 'wire-open')], 24, 0, 24],
    ['behind a bridged wire, even at gas', [gas, fault('grille', 'wire-short')], 0, 0, 24],
    ['without supply', [fault('grille', 'no-power')], 24, 24, 0],
  ] as const)(
    'finds of a contact %s: across its input, across itself, and its supply',
    (_, steps, input, own, supply) => {
      const view = fieldAfter(steps, 120 * S);
      const found = ['input.grille', 'contact.grille', 'supply.grille'].map((id) => voltsAt(view, id));
      expect(found).toEqual([input, own, supply]);
    },
  );

  test('finds a dead fan with its voltage, and an airflow switch that stays open', () => {
    const well = fieldAfter([FAN], 60 * S);
    expect([voltsAt(well, 'output.fan'), voltsAt(well, 'airflow'), well.runs.fan, well.runs.air]).toEqual([
      24,
      0,
      true,
      true,
    ]);
    const dead = fieldAfter([FAN, fault('fan', 'fan-dead')], 60 * S);
    expect([voltsAt(dead, 'output.fan'), voltsAt(dead, 'airflow'), dead.runs.fan, dead.runs.air]).toEqual([
      24,
      24,
      false,
      false,
    ]);
  });

  test('finds an airflow switch that is stuck at odds with the air at the grille', () => {
    const view = fieldAfter([FAN, fault('airflow', 'airflow-switch-stuck', { reads: 'off' })], 60 * S);
    expect([view.runs.air, voltsAt(view, 'airflow')]).toEqual([true, 24]);
  });

  test('finds a turning fan that blows not yet before its spin-up is over', () => {
    const view = fieldAfter([[5 * S, { call: { fan: 'on' } }]], 8 * S);
    expect([view.runs.fan, view.runs.air]).toEqual([true, false]);
  });

  test('finds a welded compressor that runs without its voltage', () => {
    const view = fieldAfter([fault('compressor.a', 'compressor-welded')], 60 * S);
    expect(view.runs.compressors).toEqual([
      { id: 'a', running: true },
      { id: 'b', running: false },
    ]);
    expect(voltsAt(view, 'output.compressor.a')).toBe(0);
  });

  test('finds what stands at a terminal that is stuck, whatever is commanded', () => {
    const view = fieldAfter([fault('output.heat', 'output-stuck', { reads: 'on' })], 60 * S);
    expect([voltsAt(view, 'output.heat'), view.runs.heat]).toEqual([24, true]);
  });

  test('finds the calls, and the fire signal', () => {
    const view = fieldAfter([COOLING, [2 * S, { fire: 'on' }]], 60 * S);
    const found = ['call.cooling', 'call.heating', 'call.fan', 'fire'].map((id) => voltsAt(view, id));
    expect(found).toEqual([24, 0, 0, 24]);
  });

  test('finds nothing anywhere where the rig has no supply, and nothing runs', () => {
    const view = fieldAfter(
      [
        COOLING,
        fault('compressor.a', 'compressor-welded'),
        [200 * S, { power: { to: 'rig', cut: 'stays' } }],
      ],
      210 * S,
    );
    expect(view.terminals.filter(({ volts }) => volts !== 0)).toEqual([]);
    expect(view.terminals.length).toBeGreaterThan(15);
    expect(view.runs).toMatchObject({ fan: false, air: false, heat: false });
    expect(view.runs.compressors.some(({ running }) => running)).toBe(false);
    expect(view.controller).toEqual({ lit: false, state: null, says: [], holdLeftMs: null });
    expect(view.sensors.map(({ lamp }) => lamp?.word)).toEqual(['no power', 'no power', undefined]);
  });

  test('is told of no heat where the rig has none', () => {
    const rig = { ...RIG, heat: false };
    const ids = fieldAfter([], 1 * S, { rig }).terminals.map(({ id }) => id);
    expect(ids).not.toContain('output.heat');
    expect(ids).toContain('output.compressor.b');
  });
});

describe('the controller’s display', () => {
  test('says nothing while all is well', () => {
    const { controller } = fieldAfter([COOLING], 300 * S);
    expect(controller).toEqual({ lit: true, state: 'running', says: [], holdLeftMs: null });
  });

  test('says each of its hazards once, and what it waits for', () => {
    const { controller } = fieldAfter([LEAK], 85 * S);
    expect(controller.state).toBe('mitigating');
    expect(controller.says.filter((text) => text.startsWith('coil-a reports gas'))).toHaveLength(1);
    expect(new Set(controller.says).size).toBe(controller.says.length);
    expect(controller.says.at(-1)).toMatch(/^it lasts until/u);
  });

  test('says what stands at no sensor too: missing airflow', () => {
    const { controller } = fieldAfter([FAN, fault('fan', 'fan-dead')], 60 * S);
    expect(controller.says.join()).toContain('no airflow was proven');
  });

  test('counts its hold down', () => {
    const at = (atMs: number) => fieldAfter([fault('coil-a', 'silent', { lasts: '20 s' })], atMs).controller;
    const [early, late] = [at(120 * S), at(130 * S)];
    expect(early.state).toBe('holding');
    expect((early.holdLeftMs ?? 0) - (late.holdLeftMs ?? 0)).toBe(10 * S);
  });

  test('is dark without power', () => {
    const view = fieldAfter([[2 * S, { power: { to: 'controller', cut: 'stays' } }]], 60 * S);
    expect(view.controller.lit).toBe(false);
    expect(voltsAt(view, 'supply.coil-a')).toBe(24);
  });

  test('of another controller is not guessed at: a sentence says where to look', () => {
    const { controller } = fieldAfter([LEAK], 120 * S, { elsewhere: true });
    expect(controller).toMatchObject({ lit: true, state: null, holdLeftMs: null });
    expect(controller.says).toEqual([
      'The controller runs elsewhere: read its messages on the controller itself.',
    ]);
  });
});

describe('a portable reading', () => {
  test('is of the air of a place, by the refrigerant that the portable is for', () => {
    const [cabinet, low, high] = fieldAfter([LEAK], 80 * S).portable;
    expect(cabinet?.percentLfl).toBeGreaterThan(10);
    expect(low?.percentLfl).toBeLessThan(cabinet?.percentLfl ?? 0);
    expect(high?.percentLfl).toBe(low?.percentLfl);
    expect(low?.words).toBe(
      'Portable detector for R-32, in the room, near the floor; this bench mixes the room well, so that it is the same low and high',
    );
  });

  test('differs between low and high where the room lies in layers', () => {
    const layers = {
      lowM: 0.5,
      mixingM3PerS: 0.001,
      drainM3PerS: 0,
      returnFrom: 'low',
      outsideInto: 'high',
      outsideOutOf: 'low',
    } as const;
    const rig = { ...RIG, room: { ...RIG.room, layers } };
    const leak: Timed = [10 * S, { release: { at: 'room-low', rate: '50 g/s', lasts: '3 min' } }];
    const [, low, high] = fieldAfter([leak], 14 * S, { rig }).portable;
    expect(low?.percentLfl).toBeGreaterThan((high?.percentLfl ?? 0) + 1);
    expect(low?.words).not.toContain('mixes');
  });

  test('finds no gas of a hose at one sensor, and none that a sensor only takes for refrigerant', () => {
    const hose: Timed = [2 * S, { testGas: { at: 'coil-a', level: '40 %LFL' } }];
    for (const step of [hose, fault('coil-a', 'other-gas', { by: '40 %LFL' })])
      expect(fieldAfter([step], 60 * S).portable.map(({ percentLfl }) => percentLfl)).toEqual([0, 0, 0]);
  });
});

describe('what is hidden', () => {
  const PARAMETERS: Readonly<Record<string, object>> = {
    offset: { by: '5 %LFL' },
    gain: { factor: 0.5 },
    slow: { t90: '40 s' },
    noisy: { by: '1 %LFL' },
    'other-gas': { by: '30 %LFL' },
    misplaced: { at: 'room-low' },
    swapped: { with: 'coil-b' },
    late: { by: '100 ms' },
  };
  const TARGET = {
    sensor: 'coil-a',
    contact: 'grille',
    fan: 'fan',
    airflow: 'airflow',
    compressor: 'compressor.a',
    output: 'output.fan',
    fieldIo: 'fieldIo',
  } as const;
  const kinds = Object.entries(FAULTS).flatMap(([kind, row]) =>
    row.targets.map((target) => [kind, target] as const),
  );

  test.each(kinds)(
    'is the fault %s of a %s: the view has its own fields and words, and no others',
    (kind, target) => {
      const { meaning } = FAULTS[kind as keyof typeof FAULTS];
      const view = fieldAfter([COOLING, fault(TARGET[target], kind, PARAMETERS[kind])], 40 * S);
      expect(fieldViewSchema.parse(view)).toEqual(view);
      const text = JSON.stringify(view);
      for (const word of [`"${kind}"`, meaning, 'fault', 'probability']) expect(text).not.toContain(word);
    },
  );

  test('is the gas at a sensor: a blind one in a leak shows what it shows', () => {
    const view = fieldAfter(
      [
        fault('coil-a', 'blind'),
        fault('coil-b', 'blind'),
        [3 * S, { testGas: { at: 'coil-a', level: '43.7 %LFL' } }],
      ],
      60 * S,
    );
    expect(JSON.stringify(view)).not.toContain('43.7');
    expect(sensorIn(view, 'coil-a').lamp?.word).toBe('measuring');
  });
});
