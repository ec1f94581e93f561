/**
 * The longest time from one turn of a device to its next, with up to so many sensors of the line silent.
 *
 * A cycle asks the inputs, the living sensors, reads back, writes; then, until its period is over, it takes
 * spare turns: retries and the dead, one at least (src/poll/plan.ts). A silent sensor can delay a device
 * in four ways, and which of them is worst depends on where the device stands and how full the period is:
 * - known to be silent: it costs a spare turn, which may overrun the period;
 * - fallen silent after the device had its turn: it costs its time-out there, and its retries in spare turns;
 * - fallen silent before the device has its next turn: it costs its time-out in front of it;
 * - heard again in a spare turn: its answer stands in front of the device again.
 * Every split of the silent ones over the four is worked out, so that the bound holds for sensors that were
 * silent before as well as for those that fall silent at the worst moment.
 */
import { busyMs, type LineTurns, owedTurns } from './line-turns.ts';

/** A device by how many sensors are asked before it in a cycle, and how many after. */
export interface Position {
  readonly before: number;
  readonly after: number;
}

/** What one sensor of a line adds, at worst, in each of the four ways. */
export interface Costs {
  /** Of a cycle in which everybody answers; in whole milliseconds it may be a little less. */
  readonly busyMs: number;
  readonly busyLeastMs: number;
  readonly periodMs: number;
  readonly retries: number;
  readonly deadMs: number;
  /** What a time-out takes beyond the answer that stood in its place. */
  readonly excessMs: number;
  readonly excessLeastMs: number;
  readonly answerMinMs: number;
  readonly answerMaxMs: number;
}

/** How the silent sensors are split over the four ways. */
interface Split {
  readonly known: number;
  readonly fellAfter: number;
  readonly fellBefore: number;
  readonly back: number;
}

export function longestPeriodMs(turns: LineTurns, position: Position, silent: number): number {
  const costs = costsOf(turns);
  let longestMs = 0;
  for (const split of splits(position, silent, costs)) {
    longestMs = Math.max(longestMs, periodMs(split, costs));
  }
  return longestMs;
}

export function costsOf(turns: LineTurns): Costs {
  const { sensors, line, retries } = turns;
  const least = sensors.map((turn) => turn.answeredLeastMs);
  return {
    busyMs: busyMs(turns),
    busyLeastMs: owedTurns(turns).reduce((sum, turn) => sum + turn.answeredLeastMs, 0),
    periodMs: line.pollEveryMs,
    retries,
    deadMs: Math.max(0, ...sensors.map((turn) => turn.silentMs)),
    excessMs: Math.max(0, ...sensors.map((turn) => turn.lostMs - turn.answeredLeastMs)),
    // A time-out in whole milliseconds may be one less.
    excessLeastMs:
      sensors.length === 0 ? 0 : Math.min(...sensors.map((turn) => turn.silentMs - 1 - turn.answeredMs)),
    answerMinMs: sensors.length === 0 ? 0 : Math.min(...least),
    answerMaxMs: Math.max(0, ...sensors.map((turn) => turn.answeredMs)),
  };
}

function* splits({ before, after }: Position, silent: number, costs: Costs): Generator<Split> {
  const most = Math.min(silent, before + after);
  // An answer in front again is the worse of the two only where a time-out is shorter than two answers.
  const backMost =
    costs.answerMaxMs > costs.excessMs
      ? Math.min(most, before, turnsBegun(owedMs(most, 0, costs), costs))
      : 0;
  for (let known = 0; known <= most; known += 1) {
    for (let fellAfter = 0; fellAfter <= Math.min(most - known, after); fellAfter += 1) {
      for (let back = 0; back <= Math.min(most - known - fellAfter, backMost); back += 1) {
        const fellBefore = Math.min(most - known - fellAfter - back, before - back);
        yield { known, fellAfter, fellBefore, back };
      }
    }
  }
}

function periodMs({ known, fellAfter, fellBefore, back }: Split, costs: Costs): number {
  const owed = owedMs(known + back, fellAfter, costs);
  // Those who are back answered in a spare turn each, and the dead have the others.
  const deadTurns = Math.min(known + fellAfter * costs.retries, turnsBegun(owed, costs) - back);
  const backMs = back * costs.answerMaxMs;
  const endMs = spareEndMs(owed, Math.max(0, deadTurns), costs) + backMs;
  return Math.max(costs.periodMs, endMs) + fellBefore * costs.excessMs + backMs;
}

/** What a cycle owes before its spare turns: between these two, as its sensors and roundings have it. */
export interface Owed {
  readonly leastMs: number;
  readonly mostMs: number;
}

export function owedMs(known: number, fallen: number, costs: Costs): Owed {
  return {
    leastMs: costs.busyLeastMs - known * costs.answerMaxMs + fallen * costs.excessLeastMs,
    mostMs: costs.busyMs - known * costs.answerMinMs + fallen * costs.excessMs,
  };
}

/** Spare turns that may be begun in time if they are as short as can be; one in any case. */
function turnsBegun({ leastMs }: Owed, { periodMs, deadMs, answerMinMs }: Costs): number {
  const shortestMs = Math.max(1, Math.min(deadMs - 1, answerMinMs));
  return Math.max(1, Math.ceil((periodMs - leastMs) / shortestMs));
}

/**
 * When the last spare turn ends that is begun within the period; the first is taken in any case. The less is
 * owed, the more turns may be begun, so neither end of what is owed is the worse by itself.
 */
export function spareEndMs({ leastMs, mostMs }: Owed, turns: number, costs: Costs): number {
  const { periodMs, deadMs } = costs;
  if (turns === 0) return mostMs;
  const begun = Math.min(turns, Math.max(1, Math.ceil((periodMs - leastMs) / Math.max(1, deadMs - 1))));
  return Math.min(mostMs + begun * deadMs, Math.max(periodMs, mostMs) + deadMs);
}
