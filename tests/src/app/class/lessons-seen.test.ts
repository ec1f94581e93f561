/** What a lesson says can be found is what its class can find, with eyes, a meter and a portable reader. */
import { describe, expect, test } from 'vitest';
import type { FieldView } from '../../../../src/api/class-schema.ts';
import { CASES, caseOf } from '../../../helpers/lessons.ts';
import { Played } from '../../../helpers/played.ts';
import { sensorIn, voltsAt } from './field.ts';

/** Every lesson once, looked at in the middle of what it is about. */
const LOOK_AT_S: Readonly<Record<string, number>> = {
  'case-01-what-is-normal': 300,
  'case-02-gas-under-a-running-fan': 170,
  'case-03-trip-hold-and-release': 327,
  'case-04-one-silent-in-a-leak': 530,
  'case-05-exchanged': 120,
  'case-06-commanded-and-no-air': 120,
  'case-07-end-of-life': 215,
  'case-08-a-broken-wire': 200,
  'case-09-another-vapour': 170,
  'case-10-an-open-switch': 120,
  'case-11-no-supply': 200,
  'case-12-a-welded-contactor': 240,
};
const SEEN = new Map(
  CASES.map(({ id, drill }) => {
    const atS = LOOK_AT_S[id] ?? 0;
    return [id, new Played(drill, { lookAtS: [atS] }).field(atS)] as const;
  }),
);

function seen(id: string): FieldView {
  const view = SEEN.get(caseOf(id).id);
  if (view === undefined) throw new Error(`${id} was not looked at`);
  return view;
}

const running = (view: FieldView): readonly string[] =>
  view.runs.compressors.filter((one) => one.running).map(({ id }) => id);
const percentAt = (view: FieldView, place: string): number =>
  view.portable.find(({ at }) => at === place)?.percentLfl ?? Number.NaN;

test.each(CASES.map(({ id }) => id))('%s is looked at within its length', (id) => {
  expect(LOOK_AT_S[id]).toBeGreaterThan(0);
  expect((LOOK_AT_S[id] ?? 0) * 1000).toBeLessThan(caseOf(id).drill.lengthMs);
});

describe('the portable reader', () => {
  const LEAKS = [
    'case-02-gas-under-a-running-fan',
    'case-03-trip-hold-and-release',
    'case-04-one-silent-in-a-leak',
  ];

  test.each(LEAKS)('finds the gas of %s, most of it in the cabinet', (id) => {
    expect(percentAt(seen(id), 'cabinet')).toBeGreaterThan(10);
    expect(percentAt(seen(id), 'room-low')).toBeLessThan(percentAt(seen(id), 'cabinet'));
    expect(percentAt(seen(id), 'room-low')).toBeGreaterThan(2);
  });

  test('finds none anywhere in any other', () => {
    const others = CASES.filter(({ id }) => !LEAKS.includes(id));
    expect(others).toHaveLength(9);
    for (const { id } of others)
      expect([id, ...seen(id).portable.map(({ percentLfl }) => percentLfl)]).toEqual([id, 0, 0, 0]);
  });
});

describe('the meter', () => {
  test.each([
    ['case-01-what-is-normal', { 'supply.coil-a': 24, 'supply.coil-b': 24, 'input.grille': 0, airflow: 0 }],
    ['case-03-trip-hold-and-release', { 'output.alarm': 24, 'output.fan': 24, 'input.grille': 0 }],
    [
      'case-04-one-silent-in-a-leak',
      {
        'supply.coil-b': 24,
        'output.trouble': 24,
        'output.alarm': 0,
        'output.compressor.a': 0,
        'call.cooling': 24,
      },
    ],
    [
      'case-05-exchanged',
      {
        'supply.coil-a': 24,
        'supply.coil-b': 24,
        'output.trouble': 24,
        'output.compressor.a': 0,
        'call.cooling': 24,
      },
    ],
    ['case-06-commanded-and-no-air', { 'output.fan': 24, airflow: 24, 'output.compressor.a': 0 }],
    [
      'case-07-end-of-life',
      { 'supply.coil-a': 24, 'output.alarm': 0, 'output.trouble': 0, 'output.compressor.a': 24 },
    ],
    [
      'case-08-a-broken-wire',
      { 'supply.grille': 24, 'input.grille': 24, 'contact.grille': 0, 'output.alarm': 24 },
    ],
    ['case-09-another-vapour', { 'output.alarm': 24, 'input.grille': 0, 'output.compressor.a': 0 }],
    ['case-10-an-open-switch', { 'output.fan': 24, airflow: 24, 'output.compressor.a': 0 }],
    ['case-11-no-supply', { 'supply.coil-a': 24, 'supply.coil-b': 0, 'output.trouble': 24 }],
    [
      'case-12-a-welded-contactor',
      {
        'output.compressor.a': 0,
        'output.compressor.b': 0,
        'call.cooling': 0,
        'output.fan': 24,
        'output.trouble': 24,
      },
    ],
  ])('finds in %s what that says', (id, volts) => {
    const found = Object.keys(volts).map((terminal) => [terminal, voltsAt(seen(id), terminal)]);
    expect(Object.fromEntries(found)).toEqual(volts);
  });
});

describe('eyes and ears', () => {
  test.each([
    ['case-01-what-is-normal', { fan: true, air: true, compressors: ['a', 'b'] }],
    ['case-02-gas-under-a-running-fan', { fan: true, air: true, compressors: ['a', 'b'] }],
    ['case-03-trip-hold-and-release', { fan: true, air: true, compressors: [] }],
    ['case-04-one-silent-in-a-leak', { fan: true, air: true, compressors: [] }],
    ['case-05-exchanged', { fan: true, air: true, compressors: [] }],
    ['case-06-commanded-and-no-air', { fan: false, air: false, compressors: [] }],
    ['case-07-end-of-life', { fan: true, air: true, compressors: ['a', 'b'] }],
    ['case-08-a-broken-wire', { fan: true, air: true, compressors: [] }],
    ['case-09-another-vapour', { fan: true, air: true, compressors: [] }],
    ['case-10-an-open-switch', { fan: true, air: true, compressors: [] }],
    ['case-11-no-supply', { fan: true, air: true, compressors: [] }],
    ['case-12-a-welded-contactor', { fan: true, air: true, compressors: ['a'] }],
  ])('find running in %s what that says', (id, { fan, air, compressors }) => {
    const view = seen(id);
    expect([view.runs.fan, view.runs.air, running(view)]).toEqual([fan, air, compressors]);
  });

  test('read on the labels which addresses are exchanged, and the switch of the dark sensor is on', () => {
    const [a, b] = ['coil-a', 'coil-b'].map((id) => sensorIn(seen('case-05-exchanged'), id));
    expect([a?.label?.address, a?.plan?.address]).toEqual([12, 11]);
    expect([b?.label?.address, b?.plan?.address]).toEqual([11, 12]);
    expect(a?.label?.serial).toBe('240811');
    expect(sensorIn(seen('case-11-no-supply'), 'coil-b')).toMatchObject({
      switchedOn: true,
      lamp: { word: 'no power' },
    });
    expect(sensorIn(seen('case-07-end-of-life'), 'coil-a')).toMatchObject({ lamp: { word: 'service due' } });
  });

  test('read the same of two cases that only a hand in the air tells apart', () => {
    const [fan, airflow] = ['case-06-commanded-and-no-air', 'case-10-an-open-switch'].map((id) => seen(id));
    expect(airflow?.controller).toEqual(fan?.controller);
    expect(airflow?.terminals).toEqual(fan?.terminals);
    expect(fan?.controller.says.join()).toMatch(/no airflow was proven within 10 s/u);
  });
});
