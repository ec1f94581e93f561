import { describe, expect, test } from 'vitest';
import type { z } from 'zod';
import {
  FAULT_KINDS,
  FAULTS,
  type FaultKind,
  faultOf,
  isFaultKind,
  isWireFault,
  parametersTold,
  WIRE_FAULT_KINDS,
} from '../../../sim/faults/index.ts';
import { fault } from '../device/devices.ts';

/**
 * What each kind takes beside "lasts" and "probability": as written → as taken; kinds without are not
 * listed.
 */
const PARAMETERS: readonly (readonly [FaultKind, object, object])[] = [
  ['self-failed', {}, { code: 1 }],
  ['self-failed', { code: 65535 }, { code: 65535 }],
  ['reboots', {}, { every: 30_000 }],
  ['reboots', { every: '2 min' }, { every: 120_000 }],
  ['offset', { by: '5 %LFL' }, { by: { value: 5, unit: '%LFL' } }],
  ['offset', { by: '-2000 ppm' }, { by: { value: -2000, unit: 'ppm' } }],
  ['offset', { by: ' - 5 %LFL' }, { by: { value: -5, unit: '%LFL' } }],
  ['gain', { factor: 0.5 }, { factor: 0.5 }],
  ['slow', { t90: '1 min' }, { t90: 60_000 }],
  ['noisy', { by: '0.5 %LFL' }, { by: { value: 0.5, unit: '%LFL' } }],
  ['saturated', {}, { at: { value: 100, unit: '%LFL' } }],
  ['worn-out', {}, { factor: 0.6 }],
  ['poisoned', {}, { factor: 0.3, halfLife: 1_800_000 }],
  ['poisoned', { factor: 0, halfLife: '2 h' }, { factor: 0, halfLife: 7_200_000 }],
  ['other-gas', { by: '8 %LFL' }, { by: { value: 8, unit: '%LFL' } }],
  ['misplaced', { at: 'room-high' }, { at: 'room-high' }],
  ['swapped', { with: 'coil-b' }, { with: 'coil-b' }],
  ['airflow-switch-stuck', {}, {}],
  ['airflow-switch-stuck', { reads: 'no' }, { reads: false }],
  ['output-stuck', {}, {}],
  ['exception', {}, { code: 4 }],
  ['exception', { code: 11 }, { code: 11 }],
  ['same-address', {}, { heard: 'garbled' }],
  ['same-address', { heard: 'both' }, { heard: 'both' }],
  ['dribble', {}, { every: 2 }],
  ['late', { by: '0.4 s' }, { by: 400 }],
  ['output-stuck', { reads: 'on' }, { reads: true }],
];

/** Parameters that a kind cannot do without. */
function needed(kind: FaultKind): Readonly<Record<string, unknown>> {
  return FAULTS[kind].parameters.safeParse({}).success
    ? {}
    : { ...PARAMETERS.find(([one]) => one === kind)?.[1] };
}

describe('the fault table', () => {
  test.each(PARAMETERS)('%s with %j takes %j', (kind, written, taken) => {
    expect(FAULTS[kind].parameters.parse(written)).toEqual(taken);
  });

  test.each(FAULT_KINDS)(
    '%s says whom it befalls and what it means, and takes nothing it does not know',
    (kind) => {
      const { targets, meaning, parameters } = FAULTS[kind];
      expect(targets.length).toBeGreaterThan(0);
      expect(meaning).toMatch(/^\S.*\S$/u);
      expect(parameters.safeParse({ nonsense: 1 }).success).toBe(false);
      const listed = PARAMETERS.some(([one]) => one === kind);
      expect(Object.keys(parameters.shape).length > 0).toBe(listed);
    },
  );

  test('draws anew at each request only what can come and go between two of them', () => {
    const anew = FAULT_KINDS.filter((kind) => FAULTS[kind].drawn === 'each request');
    expect(anew).toEqual(['silent', 'noisy', 'io-silent', ...WIRE_FAULT_KINDS]);
  });

  test('names the faults of the wire, each of a sensor or the field I/O', () => {
    expect(FAULT_KINDS.filter((kind) => isWireFault(fault(kind, needed(kind))))).toEqual(WIRE_FAULT_KINDS);
    for (const kind of WIRE_FAULT_KINDS) expect(FAULTS[kind].targets).toEqual(['sensor', 'fieldIo']);
    expect(FAULT_KINDS.filter((kind) => FAULTS[kind].usually !== 1)).toEqual(['lossy']);
  });

  test.each([0, 12, 4.5, '4'])('an exception has no code %s', (code) => {
    expect(FAULTS.exception.parameters.safeParse({ code }).success).toBe(false);
  });

  test.each([5, '5', '5 parts', '--5 %LFL', null])('an offset is not written %s', (by) => {
    expect(FAULTS.offset.parameters.safeParse({ by }).success).toBe(false);
  });
});

test('whatever takes a time is told as one, and nothing else', () => {
  const taken = FAULT_KINDS.flatMap((kind) => {
    const shape: Readonly<Record<string, z.ZodType>> = FAULTS[kind].parameters.shape;
    return Object.entries(shape).flatMap(([name, schema]) =>
      schema.safeParse('1 min').data === 60_000 ? [`${kind} ${name}`] : [],
    );
  });
  const told = FAULT_KINDS.flatMap((kind) =>
    parametersTold(FAULTS[kind]).flatMap(({ name, time }) => (time ? [`${kind} ${name}`] : [])),
  );
  expect(told).toEqual(taken);
  expect(told).toContain('poisoned halfLife');
});

test.each([-0.1, 1, '0.3', null])('a poisoned sensor is not left with %s of its sensitivity', (factor) => {
  const refused = FAULTS.poisoned.parameters.safeParse({ factor });
  expect(refused.error?.issues[0]?.message).toBe('takes a bare number from 0 to below 1, such as 0.3');
});

test('a kind is known by its name alone', () => {
  for (const kind of FAULT_KINDS) expect(isFaultKind(kind)).toBe(true);
  for (const word of ['', 'Silent', 'toString', 'constructor']) expect(isFaultKind(word), word).toBe(false);
});

test('of several faults the one of a kind is found', () => {
  const faults = [fault('silent'), fault('gain', { factor: 2 })];
  expect(faultOf(faults, 'gain')).toBe(faults[1]);
  expect(faultOf(faults, 'blind')).toBeUndefined();
});
