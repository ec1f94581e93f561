/** What the record is told in place of facts that it did not take. */
import type { Fact } from './catalogue.ts';

export function factsLost(count: number, atMs: number): Fact {
  return { id: 'facts.lost', atMs, fields: { count } };
}
