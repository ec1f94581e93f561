import { describe, expect, test } from 'vitest';
import type { Fact } from '../../../src/events/index.ts';
import { type EventRecord, type RestartKnowledge, restartKnowledge } from '../../../src/record/index.ts';
import { pressed } from './facts.ts';
import { openedRecord } from './folders.ts';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;

/** A record whose wall clock the test sets. */
interface Told {
  readonly record: EventRecord;
  readonly at: (wallMs: number, ...facts: readonly Fact[]) => void;
  readonly knows: (nowMs: number, withinMs?: number, trips?: number) => RestartKnowledge;
}

function story(): Told {
  let wallMs = 0;
  const record = openedRecord({ wallClock: () => wallMs });
  return {
    record,
    at: (ms, ...facts) => {
      wallMs = ms;
      record.append(facts);
    },
    knows: (nowMs, withinMs = DAY, trips = 3) => restartKnowledge(record, { trips, withinMs }, nowMs),
  };
}

function started(state: string): Fact {
  return { id: 'supervisor.started', atMs: 0, fields: { state, reason: 'a test' } };
}
function stopped(state: string, unmitigated: boolean): Fact {
  return { id: 'supervisor.stopped', atMs: 0, fields: { state, unmitigated } };
}
function changed(from: string, to: string): Fact {
  return { id: 'mitigation.changed', atMs: 0, fields: { from, to, reason: 'a test' } };
}
const TRIP: Fact = { id: 'trip.counted', atMs: 0, fields: { count: 1, withinMs: DAY } };

describe('what a record tells a supervisor that starts', () => {
  test('is nothing where the record is empty', () => {
    expect(story().knows(0)).toEqual({ kind: 'empty' });
  });

  test('is disorder where events stand without any supervisor in them', () => {
    const { at, knows } = story();
    at(0, pressed(1));
    expect(knows(0)).toEqual({ kind: 'disorderly', tripAgesMs: [], tripCounted: false });
  });

  const COURSES: readonly [string, readonly Fact[], RestartKnowledge['kind']][] = [
    ['a stop with nothing mitigated', [started('starting'), stopped('running', true)], 'orderly'],
    ['the same, and other events after it', [stopped('running', true), pressed(9)], 'orderly'],
    ['a stop in a mitigation', [started('starting'), stopped('mitigating', false)], 'disorderly'],
    ['a stop in a hold', [started('starting'), stopped('holding', false)], 'disorderly'],
    ['a start without a stop', [stopped('running', true), started('starting')], 'disorderly'],
    ['a change without a stop', [started('starting'), changed('starting', 'running')], 'disorderly'],
    ['a lock-out without a stop', [changed('mitigating', 'lockedOut')], 'lockedOut'],
    ['a stop in a lock-out', [changed('mitigating', 'lockedOut'), stopped('lockedOut', false)], 'lockedOut'],
    ['a start in a lock-out', [started('lockedOut')], 'lockedOut'],
    [
      'a lock-out that was reset',
      [changed('running', 'lockedOut'), changed('lockedOut', 'holding')],
      'disorderly',
    ],
    ['a fire', [changed('running', 'fire')], 'disorderly'],
    ['a fire over a lock-out', [changed('lockedOut', 'fire')], 'lockedOut'],
    ['a stop in a fire over a lock-out', [changed('lockedOut', 'fire'), stopped('fire', false)], 'lockedOut'],
    ['a stop in a fire', [changed('holding', 'fire'), stopped('fire', false)], 'disorderly'],
    ['a start in a fire of which nothing else is told', [started('fire')], 'disorderly'],
    ['a lock-out after a fire', [changed('lockedOut', 'fire'), changed('fire', 'lockedOut')], 'lockedOut'],
  ];
  test.each(COURSES)('after %s', (_, facts, kind) => {
    const { at, knows } = story();
    at(0, ...facts);
    expect(knows(0).kind).toBe(kind);
  });
});

describe('gas trips in the record', () => {
  test('count with their age, the oldest first, up to the end of the window', () => {
    const { at, knows } = story();
    at(HOUR, TRIP);
    at(2 * HOUR, TRIP);
    at(5 * HOUR, TRIP, stopped('running', true));
    expect(knows(6 * HOUR, 4 * HOUR)).toMatchObject({ kind: 'orderly', tripAgesMs: [4 * HOUR, HOUR] });
  });

  test('count as of now where the wall clock was set back, never as of the future', () => {
    const { at, knows } = story();
    at(9 * HOUR, TRIP);
    expect(knows(HOUR)).toMatchObject({ tripAgesMs: [0] });
  });

  test('are all looked at where the wall clock was set back between them', () => {
    const { at, knows } = story();
    at(8 * HOUR, TRIP);
    at(0, TRIP);
    expect(knows(9 * HOUR, 2 * HOUR)).toMatchObject({ tripAgesMs: [HOUR] });
  });

  test('lock nothing out where no latch is set', () => {
    const { record, at } = story();
    at(1, TRIP, TRIP, TRIP, stopped('running', true));
    expect(restartKnowledge(record, null, 2)).toEqual({
      kind: 'orderly',
      tripAgesMs: [],
      tripCounted: true,
    });
  });

  test('are forgotten by a service reset, and only those before it', () => {
    const { at, knows } = story();
    at(1, TRIP, changed('mitigating', 'lockedOut'));
    at(2, changed('lockedOut', 'holding'));
    at(3, TRIP);
    expect(knows(3)).toMatchObject({ tripAgesMs: [0] });
  });

  test('from before a reset stay forgotten, however many come after it', () => {
    const { at, knows } = story();
    at(0, TRIP, TRIP, changed('mitigating', 'lockedOut'), changed('lockedOut', 'holding'));
    at(HOUR, TRIP, TRIP);
    expect(knows(2 * HOUR)).toMatchObject({ kind: 'disorderly', tripAgesMs: [HOUR, HOUR] });
  });

  test('are not forgotten by a fire over a lock-out', () => {
    const { at, knows } = story();
    at(1, TRIP, changed('mitigating', 'lockedOut'));
    at(2, changed('lockedOut', 'fire'), changed('fire', 'lockedOut'));
    expect(knows(2)).toEqual({ kind: 'lockedOut', tripAgesMs: [1], tripCounted: true });
  });

  test('lock out where there are enough of them, though a cut came before the lock-out was told', () => {
    const { at, knows } = story();
    at(1, TRIP, TRIP, changed('running', 'fire'));
    expect(knows(1, DAY, 3)).toMatchObject({ kind: 'disorderly' });
    at(2, TRIP);
    expect(knows(2, DAY, 3)).toMatchObject({ kind: 'lockedOut', tripAgesMs: [1, 1, 0] });
  });

  test('are forgotten by a reset however many changes came after it', () => {
    const { at, knows } = story();
    at(1, TRIP, changed('mitigating', 'lockedOut'), changed('lockedOut', 'holding'));
    at(2, ...Array.from({ length: 1500 }, () => changed('holding', 'mitigating')));
    expect(knows(2)).toMatchObject({ tripAgesMs: [] });
  });

  test('are counted for their episode until the mitigation is over', () => {
    const { at, knows } = story();
    at(1, changed('running', 'mitigating'), TRIP);
    expect(knows(1)).toMatchObject({ tripCounted: true });
    at(2, changed('mitigating', 'holding'), started('holding'));
    expect(knows(2)).toMatchObject({ tripCounted: true });
    at(3, changed('holding', 'running'));
    expect(knows(3)).toMatchObject({ tripCounted: false, tripAgesMs: [2] });
    at(4, changed('running', 'mitigating'), TRIP);
    expect(knows(4)).toMatchObject({ tripCounted: true, tripAgesMs: [3, 0] });
  });
});

test('within a process trips age by bench time, which may pause or go faster; before it by the wall clock', () => {
  const { record, at } = story();
  const trip = (atMs: number): Fact => ({ ...TRIP, atMs });
  at(0, trip(70_000));
  const fromSequence = record.lastSequence() + 1;
  at(10_000, trip(5000));
  const ages = (nowMs: number, benchNowMs: number): unknown =>
    restartKnowledge(record, { trips: 3, withinMs: DAY }, nowMs, { fromSequence, benchNowMs });
  // Paused, then at twenty times the speed.
  expect(ages(HOUR, 6000)).toMatchObject({ tripAgesMs: [HOUR, 1000] });
  expect(ages(11_000, 25_000)).toMatchObject({ tripAgesMs: [11_000, 20_000] });
});
