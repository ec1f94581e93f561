/** What the rows of the advice table look at, and the least that each must have seen. */
import type { Rig } from '../../../src/rig/index.ts';
import type { Table } from '../../../src/sensor/index.ts';
import type { Planned } from '../planned.ts';
import type { LineReport, PollReport, RangeReport, UnitReport } from '../report.ts';
import { tableOf } from '../request-of.ts';

export interface Seen {
  readonly report: Omit<PollReport, 'advice' | 'unseen'>;
  readonly rig: Rig;
  readonly planned: readonly Planned[];
}

export interface Finding {
  readonly line: string | null;
  readonly unitId: number | null;
  readonly who: string | null;
  readonly text: string;
  /** When its cause was seen last; left out where it lasts, or where the text says when it was. */
  readonly seenAtMs?: number | null;
}

/** A unit of the report with its line and who is planned there. */
export interface SeenUnit {
  readonly line: LineReport;
  readonly unit: UnitReport;
  readonly planned: Planned | undefined;
}

/**
 * Least evidence. What is asked once may be a start-up, a scan or somebody's try: a mistake is made so many
 * times, and for so long.
 */
export const TIMES_MIN = 5;
const SPAN_MS_MIN = 5000;

interface Repeated {
  readonly requests: number;
  readonly firstMs: number;
  readonly lastMs: number;
}

export function isRepeated({ requests, firstMs, lastMs }: Repeated): boolean {
  return requests >= TIMES_MIN && lastMs - firstMs >= SPAN_MS_MIN;
}

export function unitsOf({ report, planned }: Seen): readonly SeenUnit[] {
  return report.lines.flatMap((line) =>
    line.units.map((unit) => ({
      line,
      unit,
      planned: planned.find((one) => one.line === line.id && one.unitId === unit.unitId),
    })),
  );
}

/** The repeated ranges of a unit on one table; `way` left out: read or written. */
export function rangesOn(unit: UnitReport, table: Table, way?: RangeReport['way']): readonly RangeReport[] {
  return unit.ranges.filter(
    (range) => tableOf(range.functionCode) === table && (way ?? range.way) === range.way && isRepeated(range),
  );
}

/** Of what is asked of a range, what a survey or somebody's try beside it may come to. */
const HARDLY_SHARE_MAX = 0.05;

/** The other ranges are asked for never, or so seldom that no controller lives on it. */
export function isHardlyAsked(others: readonly RangeReport[], than: Pick<RangeReport, 'requests'>): boolean {
  return requestsFor(others) <= than.requests * HARDLY_SHARE_MAX && !others.some(isRepeated);
}

export function requestsFor(ranges: readonly RangeReport[]): number {
  return ranges.reduce((sum, { requests }) => sum + requests, 0);
}

export function endOf({ address, quantity }: Pick<RangeReport, 'address' | 'quantity'>): number {
  return address + quantity;
}

export function finding(
  { line, unit, planned }: SeenUnit,
  text: string,
  seenAtMs: number | null = null,
): Finding {
  return { line: line.id, unitId: unit.unitId, who: planned?.who ?? null, text, seenAtMs };
}
