/**
 * A busy rig for measuring the page: many sensors, a reading and a true value of each once a second, all
 * of them noisy, so that no point can be spared. Nothing here means anything.
 */
import type { RigView } from '../../../src/api/rig-view-schema.ts';
import { type Snapshot, snapshotSchema } from '../../../src/api/snapshot-schema.ts';
import type { Fact } from '../../../src/events/index.ts';
import { RIG } from './rig.ts';
import { tellStory } from './story.ts';

export function rigOfMany(sensors: number): RigView {
  return {
    ...RIG,
    sensors: names(sensors).map((id, index) => ({
      id,
      at: 'cabinet',
      kind: 'modbus',
      where: `line main, unit ${index + 1}`,
      serial: null,
      unitId: index + 1,
      line: 'main',
    })),
  };
}

function names(sensors: number): readonly string[] {
  return Array.from({ length: sensors }, (_, index) => `sensor-${index + 1}`);
}

/** A snapshot of the busy rig at a moment, running at a speed. */
export function snapshotOfMany(sensors: number, nowMs: number, speed: number, sequence: number): Snapshot {
  const { world, supervisor, ...rest } = tellStory(100).snapshot;
  const [real, believed] = [world?.sensors['coil-a'], supervisor?.sensors['coil-a']];
  const each = <Value>(value: Value) => Object.fromEntries(names(sensors).map((id) => [id, value]));
  return snapshotSchema.parse({
    ...rest,
    nowMs,
    speed,
    sequence,
    paused: false,
    world: { ...world, sensors: each(real) },
    supervisor: { ...supervisor, sensors: each(believed) },
  });
}

/** All that the busy rig tells in one second of bench time. */
export function secondOfMany(sensors: number, second: number): readonly Fact[] {
  const atMs = second * 1000;
  const wave = 14 + 12 * Math.sin(second / 120);
  const facts = names(sensors).flatMap((sensor, index): readonly Fact[] => {
    const level = Math.max(0, wave + index / 4 + 3 * noise(second, index));
    return [
      { id: 'gas.changed', atMs, fields: { at: sensor, percentLfl: level } },
      { id: 'reading.changed', atMs, fields: { sensor, state: 'measuring', percentLfl: level + 1 } },
    ];
  });
  return second % 60 === 0 ? [...facts, ...once(atMs, second % 120 === 0)] : facts;
}

/** What happens once a minute: a person's doing, a hazard that comes or goes, a command. */
function once(atMs: number, on: boolean): readonly Fact[] {
  const hazard = { hazard: 'gas', subject: 'sensor-1' };
  return [
    { id: 'call.changed', atMs, fields: { call: 'cooling', on } },
    { id: 'command.changed', atMs, fields: { output: 'fan', on, because: ['a call'] } },
    on
      ? { id: 'hazard.raised', atMs, fields: { ...hazard, text: 'sensor-1 reports gas' } }
      : { id: 'hazard.cleared', atMs, fields: { ...hazard, title: 'gas' } },
  ];
}

/** Looks drawn by lot, and is the same in every run. */
function noise(second: number, index: number): number {
  const value = Math.sin(second * 12.9898 + index * 78.233) * 43_758.5453;
  return value - Math.floor(value) - 0.5;
}
