/** Which addresses a survey asks. */

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { UNIT_MAX, UNIT_MIN } from '../../../src/modbus/index.ts';
import { allUnits, knownCodecs, parseUnits, plannedAt } from '../../../src/survey/index.ts';
import { RIGHT, rigOf, SHIPPED } from './rigs.ts';

describe('a list of addresses', () => {
  test.each([
    ['5', [5]],
    ['1-3,200', [1, 2, 3, 200]],
    [' 7 , 3 - 5 , 4', [3, 4, 5, 7]],
    ['247', [247]],
  ])('%s', (text, units) => {
    expect(parseUnits(text)).toEqual(units);
  });

  test.each([
    ['', '"" is no address; write such as 1-32,200'],
    ['1-', '"1-" is no address; write such as 1-32,200'],
    ['1,x', '"x" is no address; write such as 1-32,200'],
    ['0', '0 is no address of a device; a line has 1 to 247 (0 is broadcast)'],
    ['200-248', '248 is no address of a device; a line has 1 to 247 (0 is broadcast)'],
    ['9-3', '9-3 runs backwards; write 3-9'],
    ['-3', '"-3" is no address; write such as 1-32,200'],
  ])('"%s" is none: the sentence says what to write', (text, says) => {
    expect(parseUnits(text)).toBe(says);
  });

  test('reads back whatever it was written from, in order and each once', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: UNIT_MIN, max: UNIT_MAX }), { minLength: 1 }), (units) => {
        const sorted = [...new Set(units)].sort((one, other) => one - other);
        expect(parseUnits(units.join(','))).toEqual(sorted);
      }),
    );
  });

  test('left out is every address that a device may have', () => {
    expect(allUnits()).toEqual(parseUnits('1-247'));
  });
});

test('who is planned where: a sensor, the field I/O, nobody', () => {
  const rig = rigOf(RIGHT);
  expect([11, 200, 99].map((unit) => plannedAt(rig, 'main', unit).kind)).toEqual([
    'sensors',
    'fieldIo',
    'nobody',
  ]);
  expect(plannedAt(rig, 'another', 11).kind).toBe('nobody');
});

test('the profiles that are known: the rig’s own first, each name once', () => {
  const names = knownCodecs(rigOf(RIGHT), SHIPPED).map(({ profile }) => profile.name);
  expect(names).toEqual(['reference', 'holding-floats', 'bits-and-counts']);
});
