/** Facts for records, and the sequences that they should have. */
import type { CloudEvent, Fact } from '../../../src/events/index.ts';

/** A fact that must not wait. */
export function pressed(atMs: number): Fact {
  return { id: 'serviceReset.pressed', atMs, fields: {} };
}

/** A trace fact. */
export function gas(atMs: number): Fact {
  return { id: 'gas.changed', atMs, fields: { at: 'coil-a', percentLfl: 3 } };
}

export function sequences(events: readonly CloudEvent[]): number[] {
  return events.map(({ sequence }) => sequence);
}

/** The numbers after `after` up to and with `last`. */
export function upTo(last: number, after = 0): number[] {
  return Array.from({ length: Math.max(0, last - after) }, (_, index) => after + index + 1);
}
