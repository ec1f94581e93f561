/**
 * The longest time between two requests to a sensor that does not answer.
 *
 * Its retries, and later its turn among the dead, stand in the spare time of a cycle (src/poll/plan.ts): the
 * one of the dead that waited longest, retries, the others. Two courses are bounded, with all retries in
 * front of the dead (the one that is before them is one more that is silent): all fall silent in one cycle
 * and stay so; or some are known to be silent and the others fall in one cycle. Falls spread over several
 * cycles can push a dead sensor further back; each needs another fault at its own worst moment.
 */
import type { LineTurns } from './line-turns.ts';
import { type Costs, costsOf, type Owed, owedMs, spareEndMs } from './poll-wait.ts';

export function longestAgainMs(turns: LineTurns, silent: number): number {
  const dead = Math.min(silent, turns.sensors.length);
  if (dead === 0) return 0;
  const costs = costsOf(turns);
  const falls = Array.from({ length: dead }, (_, fall) => knownMs(dead, fall, costs));
  return Math.max(togetherMs(dead, costs), ...falls);
}

/** The same for one sensor, of which one answer was lost, until the next has come. */
export function madeGoodMs(turns: LineTurns): number {
  const answerMs = Math.max(0, ...turns.sensors.map((turn) => turn.answeredMs));
  return togetherMs(1, costsOf(turns)) + answerMs;
}

/** The last of `dead` that fall silent in one cycle; asked at its beginning. */
function togetherMs(dead: number, costs: Costs): number {
  const owed = owedAtMost(0, dead, costs);
  const retried = costs.retries > 0 ? surelyBegun(owed, costs) : 0;
  if (dead <= retried) return owed.mostMs + (dead - 1) * costs.deadMs;
  // Where nothing is tried again, others that were dead before fill the spare time.
  return cycleMs(owed, dead * Math.max(1, costs.retries), costs) + laterMs(dead - retried, dead, costs);
}

/** One of those known to be silent, first in a cycle's spare time; in the next cycle `fall` others fall. */
function knownMs(dead: number, fall: number, costs: Costs): number {
  const known = dead - fall;
  const before = owedAtMost(known, 0, costs);
  const sinceMs = cycleMs(before, known, costs) - before.leastMs;
  const owed = owedAtMost(known, fall, costs);
  const inFront = fall * costs.retries + known - 1;
  const begun = surelyBegun(owed, costs);
  if (inFront < begun) return sinceMs + owed.mostMs + inFront * costs.deadMs;
  const place = fall === 0 ? dead - begun : dead;
  return sinceMs + cycleMs(owed, inFront + 1, costs) + laterMs(place, dead, costs);
}

/** From the beginning of a cycle with all of them known, to the turn of the one `place` from the front. */
function laterMs(place: number, dead: number, costs: Costs): number {
  const owed = owedAtMost(dead, 0, costs);
  const cycles = Math.ceil(place / Math.min(dead, surelyBegun(owed, costs)));
  // A turn is begun within the period, or it is the first of the spare ones.
  const begunMs = Math.min(owed.mostMs + (dead - 1) * costs.deadMs, Math.max(owed.mostMs, costs.periodMs));
  return (cycles - 1) * cycleMs(owed, dead, costs) + begunMs;
}

/** Others that were dead may be back, and stand in the cycle again. */
function owedAtMost(known: number, fall: number, costs: Costs): Owed {
  return { leastMs: owedMs(known, 0, costs).leastMs, mostMs: owedMs(0, fall, costs).mostMs };
}

function surelyBegun({ mostMs }: Owed, { periodMs, deadMs }: Costs): number {
  return Math.max(1, Math.ceil((periodMs - mostMs) / deadMs));
}

function cycleMs(owed: Owed, turns: number, costs: Costs): number {
  return Math.max(costs.periodMs, spareEndMs(owed, turns, costs));
}
