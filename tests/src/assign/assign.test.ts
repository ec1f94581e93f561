/**
 * Sensors out of the box are given their addresses on a bench in memory, with a person who does what is
 * asked. What stands in the way must stop the work before anything is written.
 */
import { beforeEach, describe, expect, test } from 'vitest';
import {
  type AssignJob,
  assign,
  type Ending,
  factOf,
  type Note,
  noteText,
} from '../../../src/assign/index.ts';
import type { Request } from '../../../src/modbus/index.ts';
import type { ModbusSensor, Rig } from '../../../src/rig/index.ts';
import { knownCodecs, modbusSensors } from '../../../src/survey/index.ts';
import { Bench } from '../survey/on-world.ts';
import { rigOf, SHIPPED, variantOfReference } from '../survey/rigs.ts';

const NEW = `rig: 1
refrigerant: R-32
charge: 4.2 kg
room: { floor: 24 m2, height: 2.5 m }
sensors:
  - { id: one, at: cabinet, unitId: 21, serial: "S21", outOfBox: yes }
  - { id: two, at: cabinet, unitId: 22, serial: "S22", outOfBox: yes }
  - { id: three, at: room-low, unitId: 23, serial: "S23", outOfBox: yes }
`;
const WAIT_MS = 120_000;

type Deeds = (note: Note, sensor: string) => void;

let bench: Bench;
let notes: Note[];
let texts: string[];

function begin(rig: string): void {
  bench = new Bench(rigOf(rig));
  notes = [];
  texts = [];
}

const power = (to: string) => ({ power: { to, restored: true } });
const cut = (to: string) => ({ power: { to, cut: 'stays' } });

/** Who plugs in what is asked for, and takes its power away and back. */
const willing: Deeds = (note, sensor) => {
  if (note.kind === 'powerOne' || note.kind === 'setByHand') bench.step(power(sensor));
  if (note.kind === 'cyclePower') {
    bench.step(cut(sensor));
    bench.step(power(sensor));
  }
};

function assigned(
  id: string,
  options: Partial<AssignJob> = {},
  deeds: Deeds = willing,
  plan = bench.rig,
): Ending {
  const planned = modbusSensors(plan);
  const sensor = sensorOf(plan, id);
  const job: AssignJob = {
    sensor,
    planned,
    known: knownCodecs(plan, SHIPPED),
    write: true,
    restart: false,
    waitMs: WAIT_MS,
    ...options,
  };
  const procedure = assign(job);
  let step = procedure.next();
  for (;;) {
    if (step.done === true) return step.value;
    const move = step.value;
    let outcome: ReturnType<Bench['ask']> = { kind: 'silent' };
    if (move.kind === 'ask') outcome = bench.ask('main', move);
    else if (move.kind === 'pause') bench.nowMs += move.ms;
    else {
      notes.push(move.note);
      texts.push(noteText(move.note, sensor));
      deeds(move.note, id);
    }
    step = procedure.next({ outcome, nowMs: bench.nowMs });
  }
}

function sensorOf(rig: Rig, id: string): ModbusSensor {
  const sensor = modbusSensors(rig).find((one) => one.id === id);
  if (sensor === undefined) throw new Error(id);
  return sensor;
}

function addresses(): Readonly<Record<string, number>> {
  return Object.fromEntries(bench.world.units.map(({ device }) => [device.plan.id, device.address]));
}

const KEY: Request = { kind: 'writeOne', functionCode: 6, address: 2, value: 0xa21c };
const address = (value: number): Request => ({ kind: 'writeOne', functionCode: 6, address: 0, value });

beforeEach(() => {
  begin(NEW);
});

describe('three new sensors at one factory address', () => {
  test('get their own, one after the other', () => {
    expect(addresses()).toEqual({ one: 1, two: 1, three: 1 });
    for (const id of ['one', 'two', 'three']) expect(assigned(id)).toMatchObject({ kind: 'assigned' });
    expect(addresses()).toEqual({ one: 21, two: 22, three: 23 });
    expect(bench.writes).toEqual([21, 22, 23].flatMap((unit) => [KEY, address(unit)]));
    expect(notes.filter(({ kind }) => kind === 'oldIsSilent')).toHaveLength(3);
  });

  test('are told of, step by step, and so is the label', () => {
    assigned('one');
    expect(texts).toEqual([
      'nobody answers at the factory address 1: give power to one, and to no other new one; waiting up to 2 min',
      'at the factory address 1 answers “virtual refrigerant sensor of leakbench reference”, profile reference, serial S21',
      'writes key 0xA21C to holding register 2, then address 21 to holding register 0',
      'one has taken the address: it reads back 21',
      'take the power of one away and give it back; waiting up to 2 min for it at 21',
      'nobody answers at 1 any more',
      'one answers at its planned address 21, serial S21',
    ]);
    expect(notes.at(-1)).toMatchObject({ label: 'unit 21 | one | cabinet | line main | serial S21' });
  });

  test('with power all at once stop it: two answer', () => {
    bench.step(power('one'));
    bench.step(power('two'));
    expect(assigned('one')).toMatchObject({ kind: 'stopped', advice: 'leave power to one of them alone' });
    expect(bench.writes).toEqual([]);
  });

  test('the second of which is plugged in too early is told from the first by its serial', () => {
    const hasty: Deeds = (note, sensor) => {
      willing(note, sensor);
      if (note.kind === 'cyclePower') bench.step(power('two'));
    };
    expect(assigned('one', {}, hasty)).toMatchObject({ kind: 'assigned' });
    expect(notes).toContainEqual(expect.objectContaining({ kind: 'oldIsAnother' }));
  });

  test('none of which tells a serial: whoever is plugged in too early leaves it unproved', () => {
    begin(NEW.replaceAll(/, serial: "S\d\d"/gu, ''));
    const hasty: Deeds = (note, sensor) => {
      willing(note, sensor);
      if (note.kind === 'cyclePower') bench.step(power('two'));
    };
    expect(assigned('one', {}, hasty)).toMatchObject({
      kind: 'stopped',
      reason: 'somebody still answers at the factory address 1',
    });
  });

  test('go on record: begun before anything is written, then written, then proved', () => {
    assigned('one');
    const sensor = sensorOf(bench.rig, 'one');
    expect(notes.map((note) => factOf(note, sensor)).filter((fact) => fact !== null)).toEqual([
      { id: 'assignment.started', fields: { sensor: 'one', line: 'main', from: 1, to: 21, serial: 'S21' } },
      { id: 'assignment.accepted', fields: { sensor: 'one', line: 'main', from: 1, to: 21 } },
      {
        id: 'assignment.proved',
        fields: { sensor: 'one', line: 'main', from: 1, to: 21, serial: 'S21' },
      },
    ]);
  });
});

describe('a dry run', () => {
  test('says what it would write, and writes nothing', () => {
    expect(assigned('one', { write: false })).toEqual({
      kind: 'wouldWrite',
      writes: ['key 0xA21C to holding register 2', 'address 21 to holding register 0'],
    });
    expect(bench.writes).toEqual([]);
    expect(addresses()).toMatchObject({ one: 1 });
  });
});

describe('a new start', () => {
  test('is commanded where that is wanted and the profile can', () => {
    const onlyPlugs: Deeds = (note, sensor) => {
      if (note.kind === 'powerOne') bench.step(power(sensor));
    };
    expect(assigned('one', { restart: true }, onlyPlugs)).toMatchObject({ kind: 'assigned' });
    expect(bench.writes.at(-1)).toEqual({ kind: 'writeOne', functionCode: 6, address: 1, value: 2 });
  });

  test('is asked of the person where the profile has no command for it', () => {
    variantOfReference('no-restart.profile.yaml', (text) => text.replace(', restart: 2', ''));
    begin(NEW.replace('unitId: 21,', 'unitId: 21, profile: ./no-restart.profile.yaml,'));
    expect(assigned('one', { restart: true })).toMatchObject({ kind: 'assigned' });
    expect(texts.join()).toContain('its profile has no command to restart it: take the power of one away');
  });

  test('that does not come within the wait stops it, and says how to go on', () => {
    const lazy: Deeds = (note, sensor) => {
      if (note.kind === 'powerOne') bench.step(power(sensor));
    };
    const ending = assigned('one', { waitMs: 5000 }, lazy);
    expect(ending).toMatchObject({ kind: 'stopped', reason: 'nobody answered at 21 within 5 s' });
  });
});

describe('who is at the planned address already', () => {
  test('is left alone where it is the right one', () => {
    begin(NEW.replace('serial: "S21", outOfBox: yes', 'serial: "S21"'));
    expect(assigned('one')).toEqual({ kind: 'alreadyThere', serial: 'S21' });
    expect(bench.writes).toEqual([]);
  });

  test('stops it where it is another', () => {
    begin(NEW.replace('serial: "S21", outOfBox: yes', 'serial: "X99"'));
    const plan = rigOf(NEW);
    expect(assigned('one', {}, willing, plan)).toMatchObject({
      kind: 'stopped',
      reason: 'at unit 21 answers serial X99; one has S21 in the plan',
    });
    expect(bench.writes).toEqual([]);
  });
});

describe('who is at the factory address', () => {
  test('stops it where it is another sensor of the rig: the sentence says whose serial it is', () => {
    const wrongOne: Deeds = (note) => {
      if (note.kind === 'powerOne') bench.step(power('two'));
    };
    expect(assigned('one', {}, wrongOne)).toMatchObject({
      kind: 'stopped',
      reason: 'at unit 1 answers serial S22, which is two',
    });
    expect(bench.writes).toEqual([]);
  });

  test('stops it where it is of another make', () => {
    begin(
      NEW.replace(
        'unitId: 21, serial: "S21", outOfBox: yes',
        'unitId: 1, profile: holding-floats, serial: "S21"',
      ),
    );
    expect(assigned('two')).toMatchObject({ kind: 'stopped' });
    expect(bench.writes).toEqual([]);
  });

  test('stops it where nobody comes', () => {
    expect(assigned('one', { waitMs: 3000 }, () => undefined)).toMatchObject({
      kind: 'stopped',
      reason: 'nobody answered at 1 within 3 s',
    });
    expect(bench.writes).toEqual([]);
  });

  test('goes on without a serial in the plan, and says that nothing was checked', () => {
    const plan = rigOf(NEW.replace(', serial: "S21"', ''));
    expect(assigned('one', {}, willing, plan)).toMatchObject({ kind: 'assigned' });
    expect(notes).toContainEqual({ kind: 'unchecked' });
  });
});

describe('a sensor that does not do as it is told', () => {
  test('refuses the address without its key: nothing is changed, and the sentence says so', () => {
    const plan = rigOf(NEW);
    variantOfReference('keyless.profile.yaml', (text) => text.replace(/ {2}writeKey.*\n/u, ''));
    const keyless = rigOf(NEW.replace('unitId: 21,', 'unitId: 21, profile: ./keyless.profile.yaml,'));
    expect(plan.name).toBe(keyless.name);
    expect(assigned('one', {}, willing, keyless)).toMatchObject({
      kind: 'stopped',
      reason: 'one refuses the address (server device failure)',
    });
    expect(addresses()).toMatchObject({ one: 1 });
  });

  test('takes something and not the address: what it reads back tells', () => {
    variantOfReference('misread.profile.yaml', (text) =>
      text
        .replace(/ {2}writeKey.*\n/u, '')
        .replace('newAddress: { address: 0 }', 'newAddress: { address: 2 }'),
    );
    const misread = rigOf(NEW.replace('unitId: 21,', 'unitId: 21, profile: ./misread.profile.yaml,'));
    expect(assigned('one', {}, willing, misread)).toMatchObject({
      kind: 'stopped',
      reason: 'one reads 0 back and not 21',
    });
  });

  test('an answer that is lost to a write is no failure where the address reads back', () => {
    const lossy: Deeds = (note, sensor) => {
      willing(note, sensor);
      if (note.kind === 'began') bench.step({ fault: { in: sensor, kind: 'lossy', probability: 0.4 } });
      if (note.kind === 'cyclePower') bench.step({ mend: { in: sensor } });
    };
    expect(assigned('one', {}, lossy)).toMatchObject({ kind: 'assigned' });
  });
});

describe('an address that no register takes', () => {
  test('set by a switch: says what to set, waits, and proves it', () => {
    begin(NEW.replace('unitId: 21,', 'unitId: 21, profile: holding-floats,'));
    expect(assigned('one')).toMatchObject({ kind: 'proved', serial: 'S21' });
    expect(texts[0]).toBe(
      'set the address switch of one to 21 while it has no power, then give it power; waiting up to 2 min',
    );
    expect(bench.writes).toEqual([]);
  });

  test('fixed by its part: says which part, and that no serial tells whether it is the right one', () => {
    begin(NEW.replace('unitId: 21, serial: "S21",', 'unitId: 60, profile: bits-and-counts,'));
    expect(assigned('one')).toMatchObject({ kind: 'proved' });
    expect(texts[0]).toContain('the address of one is fixed by its part: fit the part with address 60');
    expect(notes).toContainEqual({ kind: 'unchecked' });
  });

  test('planned at the factory address: there is nothing to write', () => {
    begin(NEW.replace('unitId: 21', 'unitId: 1'));
    expect(assigned('one')).toMatchObject({ kind: 'proved', serial: 'S21' });
    expect(bench.writes).toEqual([]);
  });
});
