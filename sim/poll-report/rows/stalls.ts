/** A device that does not answer, and holds up all others on its line. */
import { listed } from '../../../src/text/words.ts';
import { formatDuration } from '../../../src/units/index.ts';
import type { LineReport, RangeReport, UnitReport } from '../report.ts';
import { type Finding, type Seen, TIMES_MIN } from './seen.ts';

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
/** Of what the most silent device took, what another must have taken to be named beside it. */
const CAUSE_SHARE_MIN = 0.5;

export function silentStallsOthers({ report, rig }: Seen): readonly Finding[] {
  return report.lines.flatMap((line): Finding[] => {
    const pollEveryMs = rig.lines.find(({ id }) => id === line.id)?.pollEveryMs ?? 0;
    const held = heldUp(line, pollEveryMs) ?? wentUnasked(line);
    if (held === null) return [];
    const { silent, unit, says } = held;
    const [first] = silent;
    const names = listed(silent.map(nameIn));
    const nobody = silent.filter(({ who }) => who.length === 0).map(({ unitId }) => String(unitId));
    const remedy =
      nobody.length === silent.length
        ? `Nobody is planned there: take ${listed(nobody)} out of the poll, or correct the address.`
        : 'Ask a silent device once a cycle, without retries, or only now and then, until it answers again.';
    return [
      {
        line: line.id,
        unitId: first?.unitId ?? null,
        who: first?.who[0] ?? null,
        text:
          `While ${names} on line ${line.id} ${silent.length === 1 ? 'does' : 'do'} not answer, all others wait: ` +
          `${nameIn(unit)} ${says}. ${remedy}`,
        seenAtMs: Math.max(...silent.map(({ unansweredAtMs }) => unansweredAtMs ?? 0)),
      },
    ];
  });
}

interface Held {
  readonly silent: readonly UnitReport[];
  /** One of those that wait, and how long it does. */
  readonly unit: UnitReport;
  readonly says: string;
}

/** Told by how its polls grow. */
function heldUp(line: LineReport, pollEveryMs: number): Held | null {
  const silent = line.units.filter(({ silentRunMax, unitId }) => silentRunMax >= TIMES_MIN && unitId > 0);
  const waitsMs = Math.min(...silent.flatMap((unit) => (unit.waitsMs === null ? [] : [unit.waitsMs])));
  if (!Number.isFinite(waitsMs)) return null;
  const others = line.units.filter((unit) => !silent.includes(unit));
  for (const unit of others)
    for (const range of unit.ranges) {
      const grown = growth(range, waitsMs, pollEveryMs);
      if (grown !== null)
        return { silent, unit, says: `is asked every ${formatDuration(grown.toMs)}${grown.from}` };
    }
  return null;
}

/** Told by one gap that would be none without the waiting. */
function wentUnasked({ units }: LineReport): Held | null {
  const held = units.filter(({ who, gaps }) => who.length > 0 && gaps.held !== null);
  const mostMs = Math.max(...units.map(({ waitedMs }) => waitedMs));
  const silent = units.filter(({ waitedMs }) => waitedMs >= mostMs * CAUSE_SHARE_MIN);
  const unit = held.find((one) => !silent.includes(one)) ?? held[0];
  if (!unit?.gaps.held) return null;
  const { gapMs, waitedMs } = unit.gaps.held;
  const says = `went ${formatDuration(gapMs)} without being asked, and ${formatDuration(waitedMs)} of that was waiting`;
  return { silent, unit, says };
}

function nameIn({ who, unitId }: UnitReport): string {
  return who[0] === undefined ? `unit ${unitId}` : `${who[0]} (unit ${unitId})`;
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
