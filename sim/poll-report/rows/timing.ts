/** Mistakes of time: too short a time-out, a silent device that holds up the others, polls too seldom. */

import { listed } from '../../../src/text/words.ts';
import { formatDuration } from '../../../src/units/index.ts';
import type { LineReport, RangeReport } from '../report.ts';
import { type Finding, finding, type Seen, TIMES_MIN, unitsOf } from './seen.ts';
import { capital, facesText, nameOf } from './words.ts';

/**
 * Of the answers of a line, those outrun by something else: two right controllers may overlap now and then.
 */
const OVERTAKEN_SHARE_MIN = 0.5;
const ROUNDED_MS = 50;

export function timeoutTooShort({ report, rig }: Seen): readonly Finding[] {
  return report.lines.flatMap((line): Finding[] => {
    const total = (of: 'askedAgain' | 'overtaken'): number =>
      line.units.reduce((sum, { outrun }) => sum + outrun[of], 0);
    const [askedAgain, overtaken] = [total('askedAgain'), total('overtaken')];
    const isOvertaken = overtaken >= 2 * TIMES_MIN && overtaken >= line.requests * OVERTAKEN_SHARE_MIN;
    if (line.answer === null || (askedAgain < TIMES_MIN && !isOvertaken)) return [];
    const slowestMs = line.answer.maxMs;
    const enoughMs = Math.ceil((2 * slowestMs) / ROUNDED_MS) * ROUNDED_MS;
    const patience = line.units.flatMap(({ outrun }) =>
      outrun.patience === null ? [] : [outrun.patience.minMs],
    );
    const waits = patience.length === 0 ? '' : `, after ${formatDuration(Math.min(...patience))}`;
    const what =
      askedAgain >= TIMES_MIN
        ? `On line ${line.id} the controller asked again ${askedAgain} times${waits}, while the answer was still on its way`
        : `On line ${line.id} ${overtaken} answers were still on their way when the next request came`;
    const pace = rig.lines.find(({ id }) => id === line.id)?.pace;
    const speed = pace ? ` at ${pace.baud} baud` : '';
    return [
      {
        line: line.id,
        unitId: null,
        who: null,
        text:
          `${what}: an answer takes up to ${formatDuration(slowestMs)} here${speed}. Give it a time-out of ` +
          `${formatDuration(enoughMs)} or more, or make sure that nobody else asks on this line.`,
      },
    ];
  });
}

/** How much a poll of the others must grow while one is silent. */
const GROWTH_MIN = 0.25;
/** Of the growth, what the waiting must explain. */
const EXPLAINED_MIN = 0.5;
const FREE_MIN = 5;
const STALLED_MIN = 3;
/**
 * Where the others were never seen without the silent one: tries a cycle, and the share of it that they
 * take.
 */
const TRIES_MIN = 2;
const WAITING_SHARE_MIN = 0.5;
const SLOWER_THAN_PLANNED = 1.5;

export function silentStallsOthers(seen: Seen): readonly Finding[] {
  const { report, rig } = seen;
  return report.lines.flatMap((line): Finding[] => {
    const silent = line.units.filter(({ silentRunMax, unitId }) => silentRunMax >= TIMES_MIN && unitId > 0);
    const waitsMs = Math.min(...silent.flatMap((unit) => (unit.waitsMs === null ? [] : [unit.waitsMs])));
    if (silent.length === 0 || !Number.isFinite(waitsMs)) return [];
    const ids = new Set(silent.map(({ unitId }) => unitId));
    const pollEveryMs = rig.lines.find(({ id }) => id === line.id)?.pollEveryMs ?? 0;
    const held = line.units
      .filter(({ unitId }) => !ids.has(unitId))
      .flatMap((unit) =>
        unit.ranges.map((range) => ({ unit, range, grown: growth(range, waitsMs, pollEveryMs) })),
      )
      .find(({ grown }) => grown !== null);
    if (held === undefined || held.grown === null) return [];
    const name = (unitId: number): string => {
      const who = line.units.find((one) => one.unitId === unitId)?.who[0];
      return who === undefined ? `unit ${unitId}` : `${who} (unit ${unitId})`;
    };
    const names = listed([...ids].map(name));
    const [first = 0] = ids;
    return [
      {
        line: line.id,
        unitId: first,
        who: line.units.find(({ unitId }) => unitId === first)?.who[0] ?? null,
        text:
          `While ${names} on line ${line.id} ${ids.size === 1 ? 'does' : 'do'} not answer, all others wait: ` +
          `${name(held.unit.unitId)} is asked every ${formatDuration(held.grown.toMs)}${held.grown.from}. Ask a silent ` +
          'device once a cycle, without retries, or only now and then, until it answers again.',
      },
    ];
  });
}

interface Growth {
  readonly toMs: number;
  readonly from: string;
}

function growth(
  { way, free, stalled, stalledBy }: RangeReport,
  waitsMs: number,
  planMs: number,
): Growth | null {
  if (way !== 'read' || stalled === null) return null;
  const tries = stalledBy / stalled.count;
  const waitingMs = tries * waitsMs;
  const toMs = stalled.meanMs;
  if (free !== null && free.count >= FREE_MIN) {
    const grownMs = toMs - free.meanMs;
    const isHeld = grownMs >= free.meanMs * GROWTH_MIN && waitingMs >= grownMs * EXPLAINED_MIN;
    const from = `, instead of every ${formatDuration(free.meanMs)}`;
    return stalled.count >= STALLED_MIN && isHeld ? { toMs, from } : null;
  }
  const isSlow = toMs >= planMs * SLOWER_THAN_PLANNED && waitingMs >= toMs * WAITING_SHARE_MIN;
  const from = `, and ${formatDuration(waitingMs)} of that is waiting`;
  return stalled.count >= TIMES_MIN && tries >= TRIES_MIN && isSlow ? { toMs, from } : null;
}

/** Longer without a request than the rig allows, be it once. */
export function tooSlow(seen: Seen): readonly Finding[] {
  const { askWithinMs, respondWithinMs } = seen.rig.policy;
  const limitMs = Math.min(askWithinMs, respondWithinMs);
  return unitsOf(seen).flatMap((one) => {
    const { unit, planned } = one;
    const gapMs = unit.longestGapMs ?? 0;
    const isMeant = planned?.kind === 'sensor' || hasContacts(seen);
    if (planned === undefined || !isMeant || gapMs <= limitMs) return [];
    const late =
      gapMs > respondWithinMs
        ? ` Whoever learns of gas that late cannot be in mitigation within ${formatDuration(respondWithinMs)} of the report.`
        : '';
    const every = unit.interval === null ? '' : `, ${formatDuration(unit.interval.meanMs)} on average`;
    return [
      finding(
        one,
        `${capital(nameOf(one))} went ${formatDuration(gapMs)} without being asked${every}; the rig allows ` +
          `${formatDuration(limitMs)}.${late} Poll it more often: shorten the cycle, ask for fewer registers, or share the ` +
          'sensors out over two lines.',
      ),
    ];
  });
}

function hasContacts({ rig }: Seen): boolean {
  return rig.sensors.some(({ kind }) => kind === 'contact');
}

/** Of all that came, what was too broken to be a frame. */
const BROKEN_MIN = 10;
const BROKEN_SHARE_MIN = 0.1;

export function serialSettings({ report, rig }: Seen): readonly Finding[] {
  return report.lines.flatMap((line: LineReport): Finding[] => {
    const broken = line.thrownAway ?? 0;
    const plan = rig.lines.find(({ id }) => id === line.id);
    if (plan === undefined || broken < BROKEN_MIN) return [];
    if (broken < (broken + line.requests) * BROKEN_SHARE_MIN) return [];
    const understood = line.requests === 0 ? 'none was understood' : `${line.requests} were understood`;
    return [
      {
        line: line.id,
        unitId: null,
        who: null,
        text:
          `On line ${line.id} ${broken} frames came broken and were thrown away; ${understood}. The line is ` +
          `${facesText(plan)}: set the controller to the same speed, parity and stop bits, and to RTU; then look at ` +
          'wires, polarity and termination.',
      },
    ];
  });
}
