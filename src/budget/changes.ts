/** Rigs as they might be where the budget does not fit. One family a kind of change. */
import type { Line, ModbusSensor, Rig } from '../rig/index.ts';
import { compileCodec, type SensorCodec } from '../sensor/codec.ts';
import type { PointName } from '../sensor/points.ts';
import { formatDuration, type Ms, ms } from '../units/index.ts';
import { busyMs, type LineTurns, longestRequestMs, turnsOf } from './line-turns.ts';
import { mediumOf } from './request-time.ts';
import type { Assumptions } from './response.ts';

export interface Change {
  /** What to do, as an order. */
  readonly words: string;
  /** What it costs beside work; null where nothing. */
  readonly costs: string | null;
  readonly rig: Rig;
}

/** Changes of one kind, the mildest first. */
export type Family = (rig: Rig, assumptions: Assumptions) => readonly Change[];

/** Speeds that serial devices commonly offer. */
const BAUDS = [9600, 19_200, 38_400, 57_600, 115_200];
const LINES_MAX = 4;
const ROUND_MS = 10;
/** A time-out so many times the longest answer leaves a device time to think (common practice, no source). */
const PATIENCE = 2;
/** A gateway, or a client, that waits less takes its own jitter for silence (common practice, no source). */
const TIMEOUT_MIN_MS = 50;

const fasterLines: Family = (rig) =>
  BAUDS.map((baud) => {
    const slow = rig.lines.filter((line) => baudOf(line) < baud);
    const names = slow.map(({ id }) => id).join(', ');
    const lines = rig.lines.map((line) => (baudOf(line) < baud ? atBaud(line, baud) : line));
    return {
      words: `run line ${names} at ${baud} baud`,
      costs: null,
      rig: { ...rig, lines },
      any: slow.length > 0,
    };
  }).filter(({ any }) => any);

function baudOf(line: Line): number {
  const medium = mediumOf(line);
  if (medium.kind === 'network') return Number.POSITIVE_INFINITY;
  return medium.kind === 'serial' ? medium.settings.baud : medium.pace.baud;
}

function atBaud(line: Line, baud: number): Line {
  const [first, ...others] = line.listen;
  return {
    ...line,
    listen: first?.kind === 'rtu' ? [{ ...first, baud }, ...others] : line.listen,
    pace: line.pace === null ? null : { ...line.pace, baud },
  };
}

/** What belief and mitigation read of an answer; the rest is for people. */
const DECIDES: readonly PointName[] = [
  'state',
  'gasBit',
  'selfTestPassed',
  'failedBit',
  'gasPercentLfl',
  'counter',
  'serial',
];
const TELLS_GAS = DECIDES.slice(0, -2);

const fewerRegisters: Family = (rig) => [
  {
    words: 'leave out of the profile every point that no decision needs',
    costs: 'the other points are no longer shown',
    rig: withPoints(rig, DECIDES),
  },
  {
    words: 'read only state, bits and gas number',
    costs: 'a counter at rest and an exchanged sensor are no longer noticed',
    rig: withPoints(rig, TELLS_GAS),
  },
];

function withPoints(rig: Rig, names: readonly PointName[]): Rig {
  const known = new Map<SensorCodec, SensorCodec>();
  const reduced = (codec: SensorCodec): SensorCodec => {
    const points = Object.fromEntries(
      Object.entries(codec.profile.points).filter(([name]) => names.includes(name as PointName)),
    );
    const made = known.get(codec) ?? compileCodec({ ...codec.profile, points });
    known.set(codec, made);
    return made;
  };
  return onSensors(rig, (sensor) => ({ ...sensor, codec: reduced(sensor.codec) }));
}

function onSensors(rig: Rig, change: (sensor: ModbusSensor) => ModbusSensor): Rig {
  return {
    ...rig,
    sensors: rig.sensors.map((sensor) => (sensor.kind === 'modbus' ? change(sensor) : sensor)),
  };
}

/** The line that is busiest is split; its field I/O stays on the first part. */
const moreLines: Family = (rig, { networkMs }) => {
  const [busiest] = [...turnsOf(rig, networkMs)].sort((one, other) => busyMs(other) - busyMs(one));
  if (busiest === undefined) return [];
  const { line, sensors } = busiest;
  const counts = Array.from({ length: LINES_MAX - 1 }, (_, index) => index + 2);
  return counts
    .filter((count) => count <= sensors.length)
    .map((count) => ({
      words: `split line ${line.id} into ${count} lines of ${Math.ceil(sensors.length / count)} sensors at most`,
      costs: null,
      rig: split(rig, line, count),
    }));
};

function split(rig: Rig, line: Line, count: number): Rig {
  const idOf = (part: number): string => (part === 0 ? line.id : `${line.id}-${part + 1}`);
  const members = rig.sensors.filter((sensor) => sensor.kind === 'modbus' && sensor.line === line.id);
  const each = Math.ceil(members.length / count);
  const parts = Array.from({ length: count }, (_, part) => ({ ...line, id: idOf(part) }));
  const moved = onSensors(rig, (sensor) => {
    const index = members.indexOf(sensor);
    return index < 0 ? sensor : { ...sensor, line: idOf(Math.floor(index / each)) };
  });
  return { ...moved, lines: rig.lines.flatMap((one) => (one === line ? parts : [one])) };
}

/** Commands and contacts no longer wait for sensors. */
const fieldIoApart: Family = (rig) => {
  const line = rig.lines.find(({ id }) => id === rig.fieldIo.line);
  const shared = rig.sensors.some((sensor) => sensor.kind === 'modbus' && sensor.line === line?.id);
  if (line === undefined || !shared) return [];
  const apart = { ...line, id: `${line.id}-io` };
  const changed = { ...rig, lines: [...rig.lines, apart], fieldIo: { ...rig.fieldIo, line: apart.id } };
  return [{ words: 'put the field I/O on a line of its own', costs: null, rig: changed }];
};

/** Short enough to spare the living, long enough for every answer. */
const shorterTimeouts: Family = (rig, { networkMs }) => {
  const wanted = turnsOf(rig, networkMs).map((turns) => shorter(turns));
  const words = wanted.flatMap(({ words: said }) => said);
  if (words.length === 0) return [];
  const lines = wanted.map(({ line }) => line);
  const costs = 'a device slower than that is taken for silent: ask its data sheet';
  return [{ words: words.join('; '), costs, rig: { ...rig, lines } }];
};

function shorter(turns: LineTurns): { readonly line: Line; readonly words: readonly string[] } {
  const { line } = turns;
  const longestMs = longestRequestMs(turns);
  const { pace } = line;
  if (mediumOf(line).kind === 'gateway' && pace !== null) {
    // The gateway's clock starts when the request is out, and needs the answer's beginning only.
    const gatewayMs = Math.min(pace.timeoutMs, TIMEOUT_MIN_MS) as Ms;
    const timeoutMs = Math.min(line.timeoutMs, rounded(longestMs + gatewayMs));
    if (gatewayMs === pace.timeoutMs && timeoutMs === line.timeoutMs) return { line, words: [] };
    const said = `on line ${line.id} let the gateway wait ${gatewayMs} ms and its client ${timeoutMs} ms`;
    return {
      line: { ...line, timeoutMs: ms(timeoutMs), pace: { ...pace, timeoutMs: gatewayMs } },
      words: [said],
    };
  }
  const timeoutMs = Math.max(TIMEOUT_MIN_MS, rounded(PATIENCE * longestMs));
  if (timeoutMs >= line.timeoutMs) return { line, words: [] };
  const said = `shorten the time-out of line ${line.id} to ${timeoutMs} ms`;
  return { line: { ...line, timeoutMs: ms(timeoutMs) }, words: [said] };
}

/** As long as an answer takes, and no shorter than the gateway's own. */
const longerTimeouts: Family = (rig, { networkMs }) => {
  const wanted = turnsOf(rig, networkMs).map((turns) => {
    const { line } = turns;
    const gatewayMs =
      mediumOf(line).kind === 'gateway' ? Math.max(0, ...turns.sensors.map((one) => one.silentMs)) : 0;
    const neededMs = Math.max(longestRequestMs(turns), gatewayMs);
    return neededMs <= line.timeoutMs ? line : { ...line, timeoutMs: ms(rounded(neededMs)) };
  });
  const words = wanted.flatMap((line, index) =>
    line === rig.lines[index] ? [] : [`lengthen the time-out of line ${line.id} to ${line.timeoutMs} ms`],
  );
  return words.length === 0 ? [] : [{ words: words.join('; '), costs: null, rig: { ...rig, lines: wanted } }];
};

function rounded(valueMs: number): number {
  return Math.ceil(valueMs / ROUND_MS) * ROUND_MS;
}

/** Faster where the lines have time to spare; slower where the dead need more of it. */
const otherPeriods: Family = (rig, { networkMs }) => {
  const turns = turnsOf(rig, networkMs);
  return [0.25, 0.5, 2, 4].map((factor) => {
    const lines = turns.map((one) => {
      const leastMs = rounded(busyMs(one));
      const wantedMs = rounded(one.line.pollEveryMs * factor);
      return { ...one.line, pollEveryMs: ms(Math.max(Math.min(leastMs, one.line.pollEveryMs), wantedMs)) };
    });
    const words = lines.map(({ id, pollEveryMs }) => `line ${id} every ${formatDuration(pollEveryMs)}`);
    return { words: `poll ${words.join(', ')}`, costs: null, rig: { ...rig, lines } };
  });
};

/** A lost answer is made good in the same cycle. */
const oneRetry: Family = (rig) => {
  if (rig.lines.every(({ retries }) => retries > 0)) return [];
  const lines = rig.lines.map((line) => ({ ...line, retries: Math.max(1, line.retries) }));
  return [{ words: 'allow one retry', costs: null, rig: { ...rig, lines } }];
};

/** Nothing on the wire makes good what the element is too slow for. */
const quickerSensors: Family = (rig) =>
  [30_000, 10_000, 5000].map((t90Ms) => ({
    words: `fit sensors with a t90 of ${formatDuration(t90Ms)} at most`,
    costs: null,
    rig: {
      ...rig,
      sensors: rig.sensors.map((sensor) => ({
        ...sensor,
        responseT90Ms: ms(Math.min(sensor.responseT90Ms, t90Ms)),
        // Its dead time is part of the t90 it is to have.
        deadTimeMs: ms(Math.min(sensor.deadTimeMs, t90Ms / 2)),
      })),
    },
  }));

export const FAMILIES: readonly Family[] = [
  longerTimeouts,
  shorterTimeouts,
  fewerRegisters,
  fasterLines,
  moreLines,
  fieldIoApart,
  otherPeriods,
  oneRetry,
  quickerSensors,
];
