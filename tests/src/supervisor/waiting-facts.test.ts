/** What becomes of facts while the record takes nothing. */
import { expect, test } from 'vitest';
import type { Fact } from '../../../src/events/index.ts';
import { BATCH_FACTS, WAITING_MAX, WaitingFacts } from '../../../src/supervisor/waiting-facts.ts';

const curve = (atMs: number): Fact => ({
  id: 'reading.changed',
  atMs,
  fields: { sensor: 'coil-a', state: 'measuring', percentLfl: 1 },
});
const ordinary = (atMs: number): Fact => ({
  id: 'hazard.cleared',
  atMs,
  fields: { hazard: 'gas', subject: 'coil-a', title: 'gas' },
});
const trip = (atMs: number): Fact => ({ id: 'trip.counted', atMs, fields: { count: 1, withinMs: 9 } });

function told(waiting: WaitingFacts): Fact[] {
  const stored: Fact[] = [];
  waiting.tell((facts) => void stored.push(...facts));
  return stored;
}

function refuse(): never {
  throw new Error('the disk is full');
}

test('they are told in their order, in batches, and once', () => {
  const waiting = new WaitingFacts();
  const facts = Array.from({ length: BATCH_FACTS * 2 + 3 }, (_, n) => ordinary(n));
  waiting.add(...facts);
  const batches: number[] = [];
  const stored: Fact[] = [];
  waiting.tell((batch) => {
    batches.push(batch.length);
    stored.push(...batch);
  });
  expect([stored, batches]).toEqual([facts, [BATCH_FACTS, BATCH_FACTS, 3]]);
  expect(told(waiting)).toEqual([]);
});

test('what was stored before a batch failed is not told again, and the rest is not lost', () => {
  const waiting = new WaitingFacts();
  const facts = Array.from({ length: BATCH_FACTS + 2 }, (_, n) => ordinary(n));
  waiting.add(...facts);
  let stored: readonly Fact[] = [];
  expect(() => {
    waiting.tell((batch) => {
      if (stored.length > 0) refuse();
      stored = batch;
    });
  }).toThrow('full');
  waiting.takeBack();
  expect([...stored, ...told(waiting)]).toEqual(facts.slice(0, -1));
});

test('within the limit none is let go', () => {
  const waiting = new WaitingFacts();
  const facts = Array.from({ length: WAITING_MAX }, (_, n) => curve(n));
  waiting.add(...facts);
  waiting.trim();
  expect(told(waiting)).toEqual(facts);
});

test('beyond it the oldest curves go first, then what a start can do without, never a trip; it is told', () => {
  const waiting = new WaitingFacts();
  const trips = Array.from({ length: WAITING_MAX - 1 }, (_, n) => trip(n));
  waiting.add(trip(0), curve(1), ordinary(2), curve(3), ordinary(4), ...trips.slice(4));
  waiting.trim();
  expect(() => {
    waiting.tell(refuse);
  }).toThrow('full');
  waiting.add(ordinary(5));
  waiting.trim();
  const stored = told(waiting);
  expect(stored.slice(0, 5)).toEqual([
    { id: 'facts.lost', atMs: 0, fields: { count: 1 } },
    trip(0),
    ordinary(2),
    curve(3),
    ordinary(4),
  ]);
  waiting.add(...Array.from({ length: WAITING_MAX + 4 }, (_, n) => trip(n)), curve(1), ordinary(2));
  waiting.trim();
  const all = told(waiting);
  expect(all[0]).toMatchObject({ id: 'facts.lost', fields: { count: 2 } });
  expect(all).toHaveLength(WAITING_MAX + 5);
});
