import { describe, expect, test } from 'vitest';
import { isContactClosed } from '../../../sim/device/index.ts';
import type { Fault, FaultKind } from '../../../sim/faults/index.ts';
import { type ContactSensor, UNTOLD } from '../../../src/rig/index.ts';
import { ms, percentLfl } from '../../../src/units/index.ts';
import { fault } from './devices.ts';

const contact = (way: ContactSensor['contact']): ContactSensor => ({
  kind: 'contact',
  id: 'grille',
  at: 'room-low',
  responseT90Ms: ms(10_000),
  deadTimeMs: ms(0),
  input: 8,
  ...UNTOLD,
  contact: way,
});

function closed(
  way: ContactSensor['contact'],
  sensed: number,
  faults: readonly Fault[] = [],
  powered = true,
) {
  return isContactClosed(contact(way), sensed, percentLfl(20), powered, faults);
}

describe('a contact sensor', () => {
  test('switches at the setpoint itself, open or closed as it is wired', () => {
    expect([19.9, 20, 30].map((sensed) => closed('opens-on-gas', sensed))).toEqual([true, false, false]);
    expect([19.9, 20, 30].map((sensed) => closed('closes-on-gas', sensed))).toEqual([false, true, true]);
  });

  /** Without gas, with gas. */
  const inBoth = (way: ContactSensor['contact'], ...kinds: readonly FaultKind[]): readonly boolean[] =>
    [0, 30].map((sensed) =>
      closed(
        way,
        sensed,
        kinds.map((kind) => fault(kind)),
      ),
    );

  test('that opens on gas reads gas when it loses its wire or its supply', () => {
    expect(inBoth('opens-on-gas', 'wire-open')).toEqual([false, false]);
    expect(inBoth('opens-on-gas', 'no-power')).toEqual([false, false]);
    expect([0, 30].map((sensed) => closed('opens-on-gas', sensed, [], false))).toEqual([false, false]);
  });

  test('that closes on gas reads clear when it loses its wire or its supply, which is what it is warned of', () => {
    expect(inBoth('closes-on-gas', 'wire-open')).toEqual([false, false]);
    expect(inBoth('closes-on-gas', 'no-power')).toEqual([false, false]);
    expect([0, 30].map((sensed) => closed('closes-on-gas', sensed, [], false))).toEqual([false, false]);
  });

  test.each(['opens-on-gas', 'closes-on-gas'] as const)('reads closed with its wires touching: %s', (way) => {
    expect(inBoth(way, 'wire-short')).toEqual([true, true]);
    expect(inBoth(way, 'wire-short', 'no-power'), 'the wires need no supply').toEqual([true, true]);
    expect(inBoth(way, 'wire-short', 'wire-open'), 'broken on the near side').toEqual([false, false]);
  });

  test('is the same wherever it is mounted', () => {
    expect(closed('opens-on-gas', 30, [fault('misplaced', { at: 'cabinet' })])).toBe(false);
  });
});
