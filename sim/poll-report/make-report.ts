/** Tallies as a report; what is open at the moment of asking counts as far as it has come. */
import { exceptionName, functionRow, UNIT_MAX } from '../../src/modbus/index.ts';
import type { Rig } from '../../src/rig/index.ts';
import { endGap } from './gaps.ts';
import type { LineTally } from './line-tally.ts';
import { pausesOf } from './pauses.ts';
import type { CommandReport, LineReport, RangeReport, UnitReport } from './report.ts';
import { type Running, spreadOf, tenths } from './running.ts';
import type { RangeTally, UnitTally } from './unit-tally.ts';

const MS_PER_S = 1000;

export function lineReport(line: LineTally, rig: Rig, thrownAway: number | null): LineReport {
  const { plan, requests, firstMs, lastMs } = line;
  const units = [...line.units.values()]
    .filter((unit) => unit.count > 0)
    .sort((one, other) => one.unitId - other.unitId)
    .map((unit) => unitReport(unit, line));
  const asked = new Set(units.map(({ unitId }) => unitId));
  const onBus = (ids: readonly number[]): number[] =>
    [...new Set(ids)].filter((id) => id >= 1 && id <= UNIT_MAX).sort((one, other) => one - other);
  return {
    id: plan.id,
    requests,
    firstMs,
    lastMs,
    thrownAway,
    pauses: pausesReport(line),
    answer: spreadOf(line.answerMs),
    units,
    neverAsked: plan.planned
      .filter(({ unitId }) => !asked.has(unitId))
      .map(({ unitId, who }) => ({ unitId, who })),
    addresses: {
      planned: onBus(plan.planned.map(({ unitId }) => unitId)),
      answering: onBus(units.filter(({ answered }) => answered > 0).map(({ unitId }) => unitId)),
      asked: onBus([...asked]),
    },
    commands: commandReport(line, rig),
  };
}

function pausesReport({ pauses }: LineTally): LineReport['pauses'] {
  const all = pausesOf(pauses);
  return { ...all, longestMs: tenths(all.longestMs) };
}

function unitReport(unit: UnitTally, line: LineTally): UnitReport {
  const { plan } = line;
  const { unitId, reads, otherRanges, answered, unanswered, silentRunMax } = unit;
  const ranges = [...unit.ranges.values()].sort((one, other) => other.count - one.count);
  const interval = ranges[0] === undefined ? null : spreadOf(ranges[0].intervals);
  // A controller that has left, or been switched off, is not one that asks too seldom.
  const lastMs = line.lastMs ?? unit.lastMs;
  const gaps = { ...unit.gaps };
  const openMs = endGap(gaps, lastMs, line.waitedMs - unit.waitedMs, plan);
  return {
    unitId,
    who: plan.planned.filter((one) => one.unitId === unitId).map(({ who }) => who),
    requests: unit.count,
    firstMs: unit.firstMs,
    lastMs: unit.lastMs,
    perSecond: interval === null || interval.meanMs === 0 ? null : hundredths(MS_PER_S / interval.meanMs),
    interval,
    longestGapMs: reads === 0 ? null : tenths(gaps.longestMs),
    askWithinMs: plan.askWithinMs,
    gapsTooLong: gaps.tooLong,
    gaps: {
      openMs: tenths(openMs),
      closedMs: tenths(unit.gaps.longestMs),
      ownMs: tenths(gaps.ownMs),
      lateAtMs: gaps.lateAtMs,
      held: gaps.held && { gapMs: tenths(gaps.held.gapMs), waitedMs: tenths(gaps.held.waitedMs) },
    },
    functions: [...unit.functions].map(([code, requests]) => ({ code, name: functionName(code), requests })),
    ranges: ranges.map(rangeReport),
    otherRanges,
    exceptions: [...unit.exceptions].map(([code, answers]) => ({ code, name: exceptionName(code), answers })),
    answered,
    unanswered,
    unansweredAtMs: unit.unansweredAtMs,
    silentRunMax,
    waitedMs: tenths(unit.waitedMs),
    waitsMs: unit.leastWaitMs === null ? null : tenths(unit.leastWaitMs),
    outrun: {
      askedAgain: unit.askedAgain,
      overtaken: unit.overtaken,
      byFault: unit.outrunByFault,
      lastMs: unit.outrunAtMs,
      patience: spreadOf(unit.patience),
    },
    unsound: unit.unsound,
  };
}

function rangeReport(range: RangeTally): RangeReport {
  const { way, functionCode, address, quantity, firstMs, lastMs, quick, stalledBy, swapped } = range;
  return {
    way,
    functionCode,
    address,
    quantity,
    requests: range.count,
    firstMs,
    lastMs,
    interval: spreadOf(range.intervals),
    settled: spreadOf(range.settled),
    quick,
    quickAtMs: range.quickAtMs,
    stepOneMs: meanOf(range.stepOne),
    stepTwoMs: meanOf(range.stepTwo),
    free: spreadOf(range.free),
    stalled: spreadOf(range.stalled),
    stalledBy,
    refusals: [...range.refusals].map(([code, answers]) => ({ code, answers })),
    swapped,
    swappedAtMs: range.swappedAtMs,
  };
}

function commandReport({ commands, lastMs }: LineTally, { fieldIo }: Rig): CommandReport | null {
  if (commands === null) return null;
  const { writes, firstMs, complete, lastCompleteMs, longestGapMs, written, coils } = commands;
  const openGapMs = lastCompleteMs === null || lastMs === null ? 0 : lastMs - lastCompleteMs;
  return {
    unitId: fieldIo.unitId,
    watchdogMs: fieldIo.watchdogMs,
    writes,
    firstMs,
    complete,
    longestGapMs: complete === 0 ? null : tenths(Math.max(longestGapMs, openGapMs)),
    lateAtMs: openGapMs > commands.watchdogMs ? lastMs : commands.lateAtMs,
    neverWritten: [...coils]
      .filter(([coil]) => !written.has(coil))
      .map(([coil, commanded]) => ({ coil, commands: commanded })),
  };
}

function functionName(code: number): string {
  return functionRow(code)?.name ?? 'a function that no device here has';
}

function meanOf({ count, mean }: Running): number | null {
  return count === 0 ? null : tenths(mean);
}

function hundredths(value: number): number {
  return Math.round(value * 100) / 100;
}
