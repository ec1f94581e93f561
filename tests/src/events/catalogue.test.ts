import { describe, expect, test } from 'vitest';
import { CATALOGUE, type EventId, type Fact, textOf } from '../../../src/events/index.ts';

const ROWS = Object.entries(CATALOGUE) as [EventId, (typeof CATALOGUE)[EventId]][];

describe('the catalogue of events', () => {
  test.each(ROWS)('%s names its subject and what happened to it, in the past tense', (id) => {
    expect(id).toMatch(/^[a-z][A-Za-z]*\.(?:[a-z]+(?:ed|ut|ost)|reset|step)$/u);
  });

  test.each(ROWS)('%s fills its text from fields that it has', (_, row) => {
    const asked = [...row.text.matchAll(/\{(\w+)\}/gu)].map(([, name]) => name);
    expect(Object.keys(row.fields.shape)).toEqual(expect.arrayContaining(asked));
  });

  test('tells on and off, rounds numbers, and says none for what is not known', () => {
    const call: Fact = { id: 'call.changed', atMs: 0, fields: { call: 'cooling', on: true } };
    expect(textOf(call)).toBe('The call for cooling is on');
    const reading: Fact = {
      id: 'reading.changed',
      atMs: 0,
      fields: { sensor: 'coil-a', state: 'measuring', percentLfl: 3.0608 },
    };
    expect(textOf(reading)).toBe('coil-a reports measuring, 3.1 %LFL');
    expect(textOf({ ...reading, fields: { ...reading.fields, percentLfl: null } })).toBe(
      'coil-a reports measuring, none %LFL',
    );
  });

  test('fills a text once: braces in a field stay what they are', () => {
    expect(textOf({ id: 'bench.started', atMs: 0, fields: { rig: '{rig} of {name}' } })).toBe(
      'The bench started with rig {rig} of {name}',
    );
  });

  test('refuses a fact whose fields are not of their kind', () => {
    const { fields } = CATALOGUE['gas.changed'];
    expect(fields.safeParse({ at: 'coil-a', percentLfl: 20 }).success).toBe(true);
    expect(fields.safeParse({ at: 'coil-a', percentLfl: -1 }).success).toBe(false);
    expect(fields.safeParse({ at: 'coil-a', percentLfl: Number.NaN }).success).toBe(false);
  });
});
