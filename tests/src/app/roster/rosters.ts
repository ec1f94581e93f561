/** A rig with a part of every kind, a day, and events as a supervisor and a service put them on record. */
import type { RosterResult } from '../../../../src/app/roster/result.ts';
import { rosterRows } from '../../../../src/app/roster/rows.ts';
import { type CloudEvent, type Fact, toCloudEvent } from '../../../../src/events/index.ts';
import { rigOf } from '../../rig/rig-text.ts';

export const TODAY = '2026-11-26';
export const MADE = { at: new Date('2026-11-26T10:20:30Z'), version: '1.2.3', node: 'v20' };

const TEXT = `rig: 1
name: "Room, <east>"
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m }
sensors:
  - { id: old, at: cabinet, unitId: 11, serial: "1", installed: 2011-05-02, checked: 2025-11-20 }
  - { id: fresh, at: cabinet, unitId: 12, serial: "2", installed: 2026-10-01, part: "=A7" }
  - { id: soon, at: room-low, unitId: 13, serial: "3", installed: 2024-02-01, checked: 2025-12-10 }
  - { id: bare, at: room-high, unitId: 14 }
  - { id: grille, at: room-low, kind: contact, input: 8, serial: "G", installed: 2025-03-01, checked: 2025-02-27 }
`;

export const RIG = rigOf(TEXT);

/** One a minute from 09:00 UTC of the day on. */
export function recorded(facts: readonly Fact[], rigName = RIG.name): readonly CloudEvent[] {
  const beganMs = Date.parse(`${TODAY}T09:00:00Z`);
  return facts.map((fact, index) => toCloudEvent(fact, index + 1, beganMs + index * 60_000, rigName));
}

export const raised = (subject: string, hazard: string, atMs = 1000): Fact => ({
  id: 'hazard.raised',
  atMs,
  fields: { hazard, subject, text: `${subject} has ${hazard}` },
});
export const cleared = (subject: string, hazard: string, atMs = 2000): Fact => ({
  id: 'hazard.cleared',
  atMs,
  fields: { hazard, subject, title: hazard },
});
export const replaced = (sensor: string, serial: string, installed = TODAY): Fact => ({
  id: 'sensor.replaced',
  atMs: 5,
  fields: { sensor, serial, oldSerial: '0', installed, made: null, by: 'Ada', knownBy: 'survey' },
});

export function resultOf(facts: readonly Fact[]): RosterResult {
  const rows = rosterRows(RIG, recorded(facts), TODAY);
  const record = { folders: ['data', 'data/service'], problems: ['The record x is damaged'] };
  return { rig: RIG, today: TODAY, rows, data: 'data', record };
}
