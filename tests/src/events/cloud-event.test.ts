/** Clauses are those of CloudEvents 1.0.2; DateTime is RFC 3339 section 5.6. */
import { describe, expect, test } from 'vitest';
import { type CloudEvent, eventIdOf, type Fact, toCloudEvent, typeOf } from '../../../src/events/index.ts';

const FACT: Fact = { id: 'fire.changed', atMs: 1500, fields: { on: true } };
const WALL_MS = Date.UTC(2025, 2, 1, 12, 3, 10, 7);
const EVENT = toCloudEvent(FACT, 42, WALL_MS, 'Tide Street, archive/room é', 'record-1');

describe('a fact in its outside form', () => {
  test('has every required attribute, none of them empty ("Required Attributes")', () => {
    expect(EVENT.specversion).toBe('1.0');
    for (const attribute of [EVENT.id, EVENT.source, EVENT.type]) expect(attribute).not.toBe('');
  });

  test('names its attributes in lower-case letters and digits, 20 at most ("Attribute Naming")', () => {
    for (const name of Object.keys(EVENT)) expect(name).toMatch(/^[a-z0-9]{1,20}$/u);
  });

  test('has a source that is a URI reference whatever the rig is called', () => {
    expect(EVENT.source).toMatch(/^[A-Za-z0-9\-._~%!$&'()*+,;=:@/?#[\]]+$/u);
    expect(new URL(EVENT.source, 'http://bench').pathname).toBe(EVENT.source);
    expect(decodeURIComponent(EVENT.source)).toBe('/rigs/Tide Street, archive/room é/bench');
  });

  test('says who stated it: the bench, or the supervisor', () => {
    const stopped: Fact = {
      id: 'supervisor.stopped',
      atMs: 0,
      fields: { state: 'running', unmitigated: true },
    };
    expect(toCloudEvent(stopped, 1, 0, 'R').source).toBe('/rigs/R/supervisor');
    expect(toCloudEvent(FACT, 1, 0, 'R').source).toBe('/rigs/R/bench');
  });

  test('has an id that no event of another record has ("id": source and id are unique together)', () => {
    expect(EVENT.id).toBe('record-1-42');
    expect(toCloudEvent(FACT, 42, WALL_MS, 'R', 'record-2').id).not.toBe(EVENT.id);
  });

  test('counts on its own where it belongs to no record', () => {
    expect(toCloudEvent(FACT, 42, WALL_MS, 'R').id).toBe('42');
  });

  test('gives the wall clock as a DateTime of RFC 3339, and bench time in its data', () => {
    expect(EVENT.time).toBe('2025-03-01T12:03:10.007Z');
    expect(EVENT.data).toEqual({
      atMs: 1500,
      severity: 'alarm',
      text: 'The fire signal is on',
      fields: { on: true },
    });
  });

  test('gives the catalogue id back, and none for what it does not know', () => {
    expect(EVENT.type).toBe('leakbench.fire.changed');
    expect(typeOf('fire.changed')).toBe(EVENT.type);
    expect(eventIdOf(EVENT)).toBe('fire.changed');
    const other = (type: string): CloudEvent => ({ ...EVENT, type });
    expect(eventIdOf(other('leakbench.moon.risen'))).toBeUndefined();
    expect(eventIdOf(other('leakbench.constructor'))).toBeUndefined();
    expect(eventIdOf(other('elsewhere.fire.changed'))).toBeUndefined();
  });
});
