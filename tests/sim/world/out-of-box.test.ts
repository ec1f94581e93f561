/** Sensors that nobody has plugged in yet, and two that are plugged in at one address. */
import { describe, expect, test } from 'vitest';
import { applyStep, type Observation, World } from '../../../sim/world/index.ts';
import { pictureOf } from '../../../sim/world/picture.ts';
import { receive, type WireAnswer } from '../../../src/modbus/index.ts';
import type { Rig } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { stepFor } from '../../helpers/demo.ts';
import { rigOf } from '../../src/survey/rigs.ts';

const NEW = `rig: 1
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m }
sensors:
  - { id: one, at: cabinet, unitId: 21, serial: "S21", outOfBox: yes }
  - { id: two, at: cabinet, unitId: 22, serial: "S22", outOfBox: yes }
  - { id: old, at: room-low, unitId: 23, serial: "S23" }
  - { id: dial, at: room-low, unitId: 24, profile: holding-floats, outOfBox: yes }
`;
const READ = { kind: 'read', functionCode: 4, address: 0, quantity: 1 } as const;
const PDU = Uint8Array.of(4, 0, 0, 0, 1);

function worldOf(text = NEW) {
  const seen: Observation[] = [];
  const rig = rigOf(text);
  const world = new World(rig, {
    seed: 1,
    startMs: ms(0),
    serviceDaysLeft: () => 3000,
    observe: (one) => seen.push(one),
  });
  return { world, rig, seen };
}

function step(world: World, rig: Rig, written: unknown, atMs: number): void {
  expect(applyStep(world, stepFor(rig, written), ms(atMs))).toBeNull();
}

function heard(answer: WireAnswer, kind: 'mbap' | 'rtu', unitId: number): string {
  if (answer === undefined) return 'silent';
  if (answer instanceof Uint8Array) return 'answered';
  const framing = kind === 'mbap' ? ({ kind, transactionId: 3 } as const) : ({ kind, silenceMs: 2 } as const);
  const received = receive(answer.emission(framing), { framing, unitId, request: READ, timeoutMs: 300 });
  return received.kind === 'mismatched' ? received.field : received.kind;
}

describe('out of the box', () => {
  test('a sensor has no supply and says nothing, at no address, and the bench tells so', () => {
    const { world, seen } = worldOf();
    for (const unit of [1, 21, 22, 24, 247]) expect(world.serve('main', unit, PDU, ms(100))).toBeUndefined();
    expect(world.serve('main', 23, PDU, ms(100))).toBeInstanceOf(Uint8Array);
    expect(seen.filter(({ kind }) => kind === 'power')).toEqual(
      ['one', 'two', 'dial'].map((to) => ({ kind: 'power', atMs: 0, to, on: false })),
    );
    const { sensors, unpowered } = pictureOf(world, ms(100));
    expect(unpowered).toEqual(['one', 'two', 'dial']);
    expect([sensors['one']?.powered, sensors['one']?.lamp?.word, sensors['old']?.powered]).toEqual([
      false,
      'no power',
      true,
    ]);
  });

  test('plugged in it answers at its factory address, and starts with its self-test', () => {
    const { world, rig } = worldOf();
    step(world, rig, { power: { to: 'one', restored: true } }, 1000);
    expect(world.serve('main', 1, PDU, ms(1100))).toEqual(Uint8Array.of(4, 2, 0, 1));
    expect(world.serve('main', 21, PDU, ms(1100))).toBeUndefined();
    expect(pictureOf(world, ms(1200)).unpowered).toEqual(['two', 'dial']);
  });

  test('one whose switch is set by hand comes up where it is planned', () => {
    const { world, rig } = worldOf();
    step(world, rig, { power: { to: 'dial', restored: true } }, 1000);
    expect(world.serve('main', 24, PDU, ms(1100))).toBeInstanceOf(Uint8Array);
  });

  test('the rig’s supply coming back plugs nobody in', () => {
    const { world, rig } = worldOf();
    step(world, rig, { power: { to: 'rig', cut: '5 s' } }, 1000);
    expect(world.serve('main', 1, PDU, ms(10_000))).toBeUndefined();
    expect(world.serve('main', 23, PDU, ms(10_000))).toBeInstanceOf(Uint8Array);
  });
});

describe('two at one address talk at once', () => {
  const both = (text = NEW) => {
    const { world, rig, seen } = worldOf(text);
    step(world, rig, { power: { to: 'one', restored: true } }, 1000);
    step(world, rig, { power: { to: 'two', restored: true } }, 1000);
    return { world, seen };
  };

  test('over TCP something of both comes out, on a serial line a checksum that fits neither', () => {
    const { world, seen } = both();
    expect(heard(world.serve('main', 1, PDU, ms(1100), 'mbap'), 'mbap', 1)).toBe('length');
    expect(heard(world.serve('main', 1, PDU, ms(1100), 'rtu'), 'rtu', 1)).toBe('checksum');
    expect(seen.filter(({ kind }) => kind === 'answered')).toEqual([]);
  });

  test('a gateway hears nobody', () => {
    const paced = NEW.replace('charge:', 'lines: [{ id: main, pace: { baud: 19200 } }]\ncharge:');
    expect(heard(both(paced).world.serve('main', 1, PDU, ms(1100), 'mbap'), 'mbap', 1)).toBe('refused');
  });

  test('as soon as one is silent the other is heard', () => {
    const { world, rig } = worldOf();
    step(world, rig, { power: { to: 'one', restored: true } }, 1000);
    step(world, rig, { power: { to: 'two', restored: true } }, 1000);
    step(world, rig, { fault: { in: 'two', kind: 'silent' } }, 2000);
    expect(world.serve('main', 1, PDU, ms(2100))).toBeInstanceOf(Uint8Array);
  });

  test('both have heard a write, though nobody is understood', () => {
    const { world } = both();
    const write = (address: number, value: number) => Uint8Array.of(6, 0, address, value >> 8, value & 0xff);
    expect(heard(world.serve('main', 1, write(2, 0xa21c), ms(1100), 'rtu'), 'rtu', 1)).toBe('checksum');
    world.serve('main', 1, write(0, 33), ms(1200), 'rtu');
    expect(world.units.slice(0, 2).map(({ device }) => device.nextAddress)).toEqual([33, 33]);
  });
});
