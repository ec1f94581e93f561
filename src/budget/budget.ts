/**
 * The time budget of a rig: bus time of a cycle, worst time from gas to mitigation, limits that it meets or
 * breaks. Pure: the same rig and assumptions give the same figures, so that a changed rig can be asked too.
 */
import type { Rig } from '../rig/index.ts';
import { type CycleTimes, cycleOf } from './cycle.ts';
import { type Limit, limitsOf } from './limits.ts';
import { type LineTurns, owedTurns, turnsOf } from './line-turns.ts';
import { type Medium, mediumOf } from './request-time.ts';
import { type Assumptions, type ResponseTime, responsesOf } from './response.ts';

export interface LineBudget {
  readonly id: string;
  readonly medium: Medium;
  readonly pollEveryMs: number;
  readonly sensors: number;
  readonly requests: number;
  /** The longest request of a sensor, with its answer and the silences, as it is on the wire. */
  readonly longest: {
    readonly characters: number;
    readonly answeredMs: number;
    readonly silentMs: number;
  } | null;
  readonly cycle: CycleTimes;
}

export interface Budget {
  readonly assumptions: Assumptions;
  readonly lines: readonly LineBudget[];
  /** Of the sensor for which it is longest. */
  readonly response: ResponseTime;
  readonly limits: readonly Limit[];
  readonly fits: boolean;
}

export function budgetOf(rig: Rig, assumptions: Assumptions): Budget {
  const lines = turnsOf(rig, assumptions.networkMs);
  const responses = responsesOf(rig, lines, assumptions);
  const [first, ...others] = responses;
  if (first === undefined) throw new Error('a rig has a sensor');
  const limits = limitsOf({ rig, lines, responses, assumptions });
  // No more can be silent than the fullest line has.
  const silent = Math.min(assumptions.silent, Math.max(...lines.map(({ sensors }) => sensors.length)));
  return {
    assumptions: { ...assumptions, silent },
    lines: lines.map((turns) => lineBudget(turns, assumptions)),
    response: others.reduce((worst, one) => (one.commandedMs > worst.commandedMs ? one : worst), first),
    limits,
    fits: limits.every((limit) => limit.fits),
  };
}

function lineBudget(turns: LineTurns, { silent }: Assumptions): LineBudget {
  const { line, sensors } = turns;
  const longest = sensors
    .flatMap(({ requests }) => requests)
    .reduce<LineBudget['longest']>(
      (most, one) => (most === null || one.characters > most.characters ? one : most),
      null,
    );
  return {
    id: line.id,
    medium: mediumOf(line),
    pollEveryMs: line.pollEveryMs,
    sensors: sensors.length,
    requests: owedTurns(turns).reduce((sum, { requests }) => sum + requests.length, 0),
    longest,
    cycle: cycleOf(turns, silent),
  };
}
