/** A record that reaches its limit: files come and go, the sequence goes on, and a start knows what it must. */
import { mkdirSync, readdirSync, rmdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { type CloudEvent, type Fact, toCloudEvent, typeOf } from '../../../src/events/index.ts';
import {
  type EventRecord,
  RecordError,
  type RestartKnowledge,
  restartKnowledge,
} from '../../../src/record/index.ts';
import { type Past, restartEvents } from '../../../src/record/restart.ts';
import { bytesOf, segmentsIn } from '../../../src/record/segments.ts';
import { gas, pressed, sequences, upTo } from './facts.ts';
import { newFolder, openedRecord } from './folders.ts';

/** Each of the eight files holds some hundred events. */
const LIMIT = 1024 ** 2;
/** So small that a file begins with every append. */
const TINY = 8;
const TRIP: Fact = { id: 'trip.counted', atMs: 0, fields: { count: 1, withinMs: 9 } };

function allOf(record: EventRecord): number[] {
  const found: number[] = [];
  for (;;) {
    const page = sequences(record.readAfter(found.at(-1) ?? 0, 97));
    expect(page.length).toBeLessThanOrEqual(97);
    if (page.length === 0) return found;
    found.push(...page);
  }
}

function bytesIn(folder: string): number {
  return segmentsIn(folder).reduce((sum, segment) => sum + bytesOf(segment), 0);
}

function shortenings(events: readonly CloudEvent[]): unknown[] {
  return events
    .filter(({ type }) => type.endsWith('record.shortened'))
    .map(({ data }) => data.fields['through']);
}

describe('a record with a limit', () => {
  test('stays within it, tells what it lets go, and goes on without a gap over files and starts', () => {
    const folder = newFolder();
    const told: CloudEvent[] = [];
    let bytesMost = 0;
    const ids = new Set<string>();
    for (let start = 0; start < 3; start += 1) {
      const record = openedRecord({ folder, limitBytes: LIMIT });
      ids.add(record.id);
      record.subscribe((events) => told.push(...events));
      for (let round = 0; round < 24; round += 1) {
        const facts = upTo(30).map((n) => (round % 2 === 0 ? pressed(n) : gas(n)));
        expect(record.append(facts).map(({ data }) => data.atMs)).toEqual(upTo(30));
        bytesMost = Math.max(bytesMost, bytesIn(folder));
      }
      expect(allOf(record)).toEqual(upTo(record.lastSequence(), record.firstSequence() - 1));
      record.close();
    }
    expect(ids.size).toBe(1);
    expect(sequences(told)).toEqual(upTo(told.length));
    expect(segmentsIn(folder).length).toBeGreaterThan(3);
    expect(bytesMost).toBeLessThan(LIMIT * 1.2);
    const record = openedRecord({ folder, limitBytes: LIMIT });
    expect(record.firstSequence()).toBeGreaterThan(1);
    expect(shortenings(told).at(-1)).toBe(record.firstSequence() - 1);
    expect(sequences(record.readAfter(0, 3))).toEqual(
      upTo(record.firstSequence() + 2, record.firstSequence() - 1),
    );
  });

  test('that was made smaller lets go of what is too much with its next event', () => {
    const folder = newFolder();
    const large = openedRecord({ folder, limitBytes: LIMIT });
    for (let round = 0; round < 12; round += 1) large.append(upTo(50).map(pressed));
    expect(large.firstSequence()).toBe(1);
    large.close();
    const small = openedRecord({ folder, limitBytes: TINY });
    const last = small.lastSequence();
    const [event] = small.append([pressed(1)]);
    expect(event?.sequence).toBe(last + 2);
    expect([small.firstSequence(), allOf(small)]).toEqual([last + 1, [last + 1, last + 2]]);
    expect(segmentsIn(folder)).toHaveLength(1);
    expect(readdirSync(folder).filter((name) => name.startsWith('record.db'))).toEqual([]);
  });

  test('lets go of a file with one event in it as of any other, and tells that with what is stored next', () => {
    const record = openedRecord({ limitBytes: TINY });
    record.append([pressed(1)]);
    record.append([pressed(7)]);
    const [told, event] = record.readAfter(0, 9);
    expect([record.firstSequence(), event?.sequence]).toEqual([2, 3]);
    expect(told?.data).toMatchObject({ atMs: 7, fields: { through: 1, limitMiB: TINY / 1024 ** 2 } });
  });

  test('is read back over its files, the newest first, each event once', () => {
    const folder = newFolder();
    const record = openedRecord({ folder, limitBytes: LIMIT });
    const tripsAt: number[] = [];
    for (let files = 1; files <= 4; files += 1) {
      tripsAt.unshift(...sequences(record.append([TRIP])));
      while (segmentsIn(folder).length === files) record.append(upTo(50).map(pressed));
    }
    expect(record.latest(['trip.counted'])?.sequence).toBe(tripsAt[0]);
    expect(sequences(record.readBack(['trip.counted'], 99_999, 99))).toEqual(tripsAt);
    expect(sequences(record.readBack(['trip.counted'], tripsAt[0] ?? 0, 2))).toEqual(tripsAt.slice(1, 3));
    expect(record.readBack(['trip.counted', 'serviceReset.pressed'], 99_999, 7)).toHaveLength(7);
  });

  test('whose next file cannot be begun stores nothing, and goes on once it can', () => {
    const folder = newFolder();
    const record = openedRecord({ folder, limitBytes: TINY });
    record.append([pressed(1)]);
    const inTheWay = join(folder, 'record-000000000002.db');
    mkdirSync(inTheWay);
    for (let again = 0; again < 2; again += 1) {
      expect(() => record.append([pressed(2)])).toThrow(RecordError);
      expect(record.trouble()).toMatch(/took no more events/u);
      expect([record.lastSequence(), sequences(record.readAfter(0, 9))]).toEqual([1, [1]]);
    }
    rmSync(inTheWay, { recursive: true });
    expect(record.append([pressed(2)]).map(({ data }) => data.atMs)).toEqual([2]);
    expect(record.trouble()).toBeNull();
    expect(allOf(record)).toEqual(upTo(record.lastSequence(), record.firstSequence() - 1));
  });

  test('has stored what it stored where an old file cannot be removed, and tries that again', () => {
    const folder = newFolder();
    const failures: unknown[] = [];
    const record = openedRecord({ folder, limitBytes: TINY, removalFailed: (error) => failures.push(error) });
    const told: number[] = [];
    record.subscribe((events) => told.push(...sequences(events)));
    record.append([pressed(1)]);
    // Nothing removes a folder as if it were a file, and SQLite is done with this one.
    const stubborn = join(folder, 'record.db-wal');
    rmSync(stubborn, { force: true });
    mkdirSync(stubborn);
    for (let n = 2; n <= 4; n += 1) {
      expect(record.append([pressed(n)]).map(({ data }) => data.atMs)).toEqual([n]);
      expect(allOf(record)).toEqual(upTo(record.lastSequence(), record.firstSequence() - 1));
    }
    expect(told).toEqual(upTo(record.lastSequence()));
    expect(shortenings(record.readAfter(0, 9))).toEqual([record.firstSequence() - 1]);
    expect(record.trouble()).toBeNull();
    expect(failures).toEqual([expect.objectContaining({ kind: 'unwritable' })]);
    expect(String(failures[0])).toContain(stubborn.replace('-wal', ''));
    rmdirSync(stubborn);
    writeFileSync(stubborn, '');
    record.append([pressed(5)]);
    expect(readdirSync(folder).filter((name) => name.startsWith('record.db'))).toEqual([]);
    expect(failures).toHaveLength(1);
  });

  test('goes on in a file that a crash left without anything in it', () => {
    const folder = newFolder();
    const before = openedRecord({ folder });
    before.append([TRIP, pressed(2)]);
    before.close();
    writeFileSync(join(folder, 'record-000000000003.db'), '');
    writeFileSync(join(folder, 'copy-of-record-000000000004.db'), '');
    // However small the limit: one that has nothing in it is not full.
    const after = openedRecord({ folder, limitBytes: TINY });
    expect([after.id, after.lastSequence()]).toEqual([before.id, 2]);
    expect(sequences(after.append([pressed(3)]))).toEqual([4]);
    expect(allOf(after)).toEqual([3, 4]);
    after.close();
    const alone = openedRecord({ folder });
    expect(allOf(alone)).toEqual([3, 4]);
    expect(alone.latest(['trip.counted'])?.sequence).toBe(1);
  });
});

const state = fc.constantFrom('running', 'mitigating', 'lockedOut', 'fire');
const anyFact: fc.Arbitrary<Fact> = fc.oneof(
  fc.constant(pressed(1)),
  state.map((at): Fact => ({ id: 'supervisor.started', atMs: 0, fields: { state: at, reason: 'r' } })),
  fc.tuple(state, fc.boolean()).map(
    ([at, unmitigated]): Fact => ({
      id: 'supervisor.stopped',
      atMs: 0,
      fields: { state: at, unmitigated },
    }),
  ),
  fc
    .tuple(state, state)
    .map(([from, to]): Fact => ({ id: 'mitigation.changed', atMs: 0, fields: { from, to, reason: 'r' } })),
  fc.constant(TRIP),
);

/** Events as a record would be asked for them. */
function pastOf(events: readonly CloudEvent[]): Past {
  const readBack: Past['readBack'] = (ids, before, limit) => {
    const types = ids.map(typeOf);
    const found = events.filter(({ type, sequence }) => sequence < before && types.includes(type));
    return found.reverse().slice(0, limit);
  };
  return {
    lastSequence: () => events.at(-1)?.sequence ?? 0,
    readBack,
    latest: (ids) => readBack(ids, Number.MAX_SAFE_INTEGER, 1)[0],
  };
}

function told(facts: readonly Fact[]): readonly CloudEvent[] {
  return facts.map((fact, index) => toCloudEvent(fact, index + 1, index * 1000, 'R'));
}

function knows(past: Past, withinMs: number): RestartKnowledge {
  return restartKnowledge(past, { trips: 3, withinMs }, 60_000);
}

test('a start makes of what is carried, time and again, what it makes of all events', () => {
  fc.assert(
    fc.property(
      fc.array(anyFact, { minLength: 1, maxLength: 60 }),
      fc.integer({ min: 1, max: 6 }),
      (facts, each) => {
        const events = told(facts);
        let carried: readonly CloudEvent[] = [];
        for (let from = 0; from < events.length; from += each) {
          const upToHere = pastOf(events.slice(0, from + each));
          const kept = [...carried, ...events.slice(from, from + each)];
          carried = restartEvents(pastOf(kept));
          for (const withinMs of [9000, 60_000]) {
            expect(knows(pastOf(kept), withinMs)).toEqual(knows(upToHere, withinMs));
          }
        }
      },
    ),
    { numRuns: 1000 },
  );
});

test('a lock-out, its trips and what the supervisor was last outlive the files that they stood in', () => {
  let nowMs = 0;
  const options = { folder: newFolder(), limitBytes: TINY, wallClock: () => nowMs };
  const locked: Fact = {
    id: 'mitigation.changed',
    atMs: 0,
    fields: { from: 'mitigating', to: 'lockedOut', reason: 'r' },
  };
  const record = openedRecord(options);
  for (const fact of [TRIP, TRIP, locked, pressed(1), pressed(2), pressed(3)]) {
    record.append([fact]);
    nowMs += 1000;
  }
  expect(segmentsIn(options.folder)).toHaveLength(1);
  const known = { kind: 'lockedOut', tripAgesMs: [6000, 5000], tripCounted: true };
  expect(restartKnowledge(record, { trips: 3, withinMs: 9000 }, nowMs)).toEqual(known);
  record.close();
  const again = openedRecord(options);
  expect(restartKnowledge(again, { trips: 3, withinMs: 9000 }, nowMs)).toEqual(known);
  expect(restartKnowledge(again, { trips: 2, withinMs: 5000 }, nowMs)).toMatchObject({ tripAgesMs: [5000] });
});
