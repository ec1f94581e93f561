/** Wire observations folded into a poll report, in memory that does not grow with time or with the asking. */
import type { Rig } from '../../src/rig/index.ts';
import type { Observation } from '../world/observation.ts';
import { adviceOf } from './advice.ts';
import { newCommands } from './command-tally.ts';
import {
  type LineTally,
  lineAnswered,
  lineAsked,
  lineForgets,
  lineSent,
  lineWaits,
  newLine,
} from './line-tally.ts';
import { lineReport } from './make-report.ts';
import { commandCoils, linePlans } from './planned.ts';
import type { PollReport } from './report.ts';
import { UNSEEN } from './unseen.ts';

/** Frames that the faces of a line threw away as broken; a line that is not named cannot tell. */
export type ThrownAway = ReadonlyMap<string, number>;

export class PollFold {
  readonly #rig: Rig;
  readonly #lines: ReadonlyMap<string, LineTally>;

  constructor(rig: Rig) {
    this.#rig = rig;
    this.#lines = new Map(
      linePlans(rig).map((plan) => {
        const { line, watchdogMs } = rig.fieldIo;
        const commands = plan.id === line ? newCommands(commandCoils(rig), watchdogMs) : null;
        return [plan.id, newLine(plan, commands)];
      }),
    );
  }

  /** Hand this to the world as its observer. */
  readonly observe = (seen: Observation): void => {
    if (seen.kind === 'power') {
      // Neither a controller without supply nor one whose rig has none can ask.
      if (seen.to === 'controller' || seen.to === 'rig')
        for (const line of this.#lines.values()) lineForgets(line);
      return;
    }
    if (!('line' in seen)) return;
    const line = this.#lines.get(seen.line);
    if (line === undefined) return;
    if (seen.kind === 'asked') lineAsked(line, seen);
    else if (seen.kind === 'answered') lineAnswered(line, seen);
    else if (seen.kind === 'sent') lineSent(line, seen);
    else lineWaits(line, seen);
  };

  report(nowMs: number, thrownAway: ThrownAway = new Map()): PollReport {
    const lines = [...this.#lines].map(([id, line]) =>
      lineReport(line, this.#rig, thrownAway.get(id) ?? null),
    );
    const firsts = lines.flatMap(({ firstMs }) => (firstMs === null ? [] : [firstMs]));
    const seen = {
      atMs: nowMs,
      sinceMs: firsts.length === 0 ? null : Math.min(...firsts),
      requests: lines.reduce((sum, { requests }) => sum + requests, 0),
      lines,
    };
    return { ...seen, advice: adviceOf(seen, this.#rig), unseen: [...UNSEEN] };
  }
}
