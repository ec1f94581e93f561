/**
 * The worst time from gas at a sensor to mitigation, item by item: a step to the full LFL at the element of
 * the sensor that takes longest, just after it was asked.
 *
 * Nothing is counted for confirmation: the supervisor trips on the first answer that says gas, by state, bit
 * or number (src/belief, src/mitigation/machine.ts). A field I/O that does not answer is outside this bound:
 * there its watchdog acts.
 */
import { type ModbusSensor, type Rig, type Sensor, timeConstantMs } from '../rig/index.ts';
import { formatDuration, formatGas } from '../units/index.ts';
import { type LineTurns, owedTurns, type Turn } from './line-turns.ts';
import { longestPeriodMs, type Position } from './poll-wait.ts';

/** What a rig file does not say; each is nothing unless told, and the report says so. */
export interface Assumptions {
  /** Sensors that are silent, of the whole rig. */
  readonly silent: number;
  /** What the network adds to a request on a line that goes through one, both ways together. */
  readonly networkMs: number;
  /** How old a sensor's registers may be: its own measuring period, from its data sheet. */
  readonly refreshMs: number;
}

export type ItemId =
  | 'sensor'
  | 'comparator'
  | 'poll'
  | 'silent'
  | 'answer'
  | 'confirmation'
  | 'command'
  | 'write'
  | 'fan';

export interface Item {
  readonly id: ItemId;
  readonly name: string;
  /** Infinity where it never comes to pass. */
  readonly ms: number;
  /** How it was worked out. */
  readonly formula: string;
  /** Where what it was worked out from is said. */
  readonly source: string;
}

export interface ResponseTime {
  readonly sensor: string;
  readonly items: readonly Item[];
  /** From the step to the sensor's own registers saying gas. */
  readonly reportedMs: number;
  /** From the step until the field I/O has every command of mitigation. */
  readonly commandedMs: number;
  /** From the step until air moves, from a fan at rest. */
  readonly airflowMs: number;
}

const STEP_PERCENT_LFL = 100;

/** Of every sensor, in the rig's order. */
export function responsesOf(
  rig: Rig,
  lines: readonly LineTurns[],
  assumptions: Assumptions,
): readonly ResponseTime[] {
  return rig.sensors.map((sensor) => responseOf(sensor, rig, lines, assumptions));
}

function responseOf(
  sensor: Sensor,
  rig: Rig,
  lines: readonly LineTurns[],
  assumptions: Assumptions,
): ResponseTime {
  const items = [
    sensorItem(sensor, rig),
    comparatorItem(sensor, assumptions),
    ...wireItems(sensor, rig, lines, assumptions),
    fanItem(rig),
  ];
  const until = (id: ItemId): number =>
    items.slice(0, items.findIndex((item) => item.id === id) + 1).reduce((sum, item) => sum + item.ms, 0);
  return {
    sensor: sensor.id,
    items,
    reportedMs: until('comparator'),
    commandedMs: until('write'),
    airflowMs: until('fan'),
  };
}

/** First order: y = u (1 − e^(−t/τ)), 90 % of a step after t90 = τ ln 10; all of it a dead time later. */
function sensorItem(sensor: Sensor, { policy: { setpoint } }: Rig): Item {
  const { responseT90Ms, deadTimeMs } = sensor;
  const tauMs = timeConstantMs(sensor);
  const dead = deadTimeMs > 0;
  const lag = dead ? 'τ = (t90 − dead time) / ln 10' : 'τ = t90 / ln 10';
  const reached = setpoint < STEP_PERCENT_LFL;
  return {
    id: 'sensor',
    name: 'sensor response',
    ms: reached ? deadTimeMs - tauMs * Math.log(1 - setpoint / STEP_PERCENT_LFL) : Number.POSITIVE_INFINITY,
    formula: reached
      ? `${dead ? `dead time ${formatDuration(deadTimeMs)} ` : ''}−τ ln(1 − ${formatGas(setpoint)} / 100 %LFL), ` +
        `${lag}, t90 ${formatDuration(responseT90Ms)}`
      : `a step to 100 %LFL does not reach ${formatGas(setpoint)}`,
    source: 'responseT90 of the rig; t90 as in IEC 60079-29-1; a first-order lag',
  };
}

function comparatorItem({ kind }: Sensor, { refreshMs }: Assumptions): Item {
  const isContact = kind === 'contact';
  return {
    id: 'comparator',
    name: isContact ? 'its own comparator' : 'its own comparator, register refresh',
    ms: refreshMs,
    formula: 'one measuring period of the sensor',
    source:
      refreshMs > 0
        ? '--refresh, from the sensor’s data sheet'
        : 'assumed nothing: the bench’s sensors compare when asked; a real one’s data sheet says (--refresh)',
  };
}

function fanItem({ fan: { spinUpMs } }: Rig): Item {
  return {
    id: 'fan',
    name: 'fan, from rest to airflow',
    ms: spinUpMs,
    formula: 'fan.spinUp',
    source: 'the rig file',
  };
}

/** What a device's own turn costs, where it stands in its line, and the line. */
interface Asked {
  readonly turns: LineTurns;
  readonly own: Turn;
  /** From the request that it is just too late for, to the end of the answer a turn later. */
  readonly tellingMs: number;
  readonly position: Position;
}

function wireItems(
  sensor: Sensor,
  rig: Rig,
  lines: readonly LineTurns[],
  { silent }: Assumptions,
): readonly Item[] {
  const { fieldIo, turns: ioTurns } = fieldIoLine(rig, lines);
  const asked = sensor.kind === 'contact' ? contactAsked(rig, lines) : sensorAsked(sensor, rig, lines);
  const isSame = asked.turns === ioTurns;
  const { onLine, waitMs } = isSame
    ? { onLine: silent, waitMs: fieldIo.write.answeredMs }
    : elsewhere(asked, ioTurns, silent);
  const allMs = longestPeriodMs(asked.turns, asked.position, 0);
  const silentMs = longestPeriodMs(asked.turns, asked.position, onLine) - allMs;
  const { line } = asked.turns;
  return [
    pollItem(allMs, asked),
    silentItem(silentMs, Math.min(onLine, asked.position.before + asked.position.after), asked),
    {
      id: 'answer',
      name: 'its answer',
      ms: isHeard(asked, line.timeoutMs) ? asked.tellingMs : Number.POSITIVE_INFINITY,
      formula: isHeard(asked, line.timeoutMs)
        ? 'from the last request that can tell gas, to the last character'
        : 'takes longer than the time-out: it is never heard',
      source: lineSource(asked.turns),
    },
    CONFIRMATION,
    {
      id: 'command',
      name: isSame ? 'another changed command first' : `what line ${ioTurns.line.id} is busy with`,
      ms: waitMs,
      formula: isSame ? 'one write' : 'its longest turn',
      source: lineSource(ioTurns),
    },
    {
      id: 'write',
      name: 'command write',
      ms: fieldIo.write.answeredMs,
      formula: 'two writes of coils, before anything else on the line',
      source: lineSource(ioTurns),
    },
  ];
}

const CONFIRMATION: Item = {
  id: 'confirmation',
  name: 'confirmation',
  ms: 0,
  formula: 'none: the first answer that says gas trips',
  source: 'this supervisor; another may wait for a second answer',
};

function isHeard({ own }: Asked, timeoutMs: number): boolean {
  return own.requests.every(({ answeredMs }) => answeredMs <= timeoutMs);
}

function pollItem(allMs: number, { turns: { line } }: Asked): Item {
  const paced = allMs <= line.pollEveryMs;
  return {
    id: 'poll',
    name: 'poll phase, just missed',
    ms: allMs,
    formula: paced
      ? `one period: pollEvery of line ${line.id}`
      : `one cycle of line ${line.id}: longer than its pollEvery, ${formatDuration(line.pollEveryMs)}`,
    source: paced ? 'the rig file' : 'bus time of the cycle',
  };
}

function silentItem(silentMs: number, count: number, { turns: { retries } }: Asked): Item {
  const tries = retries > 0 ? 'time-outs and retries' : 'time-outs';
  return {
    id: 'silent',
    name: `${count} silent, ${tries}`,
    ms: silentMs,
    formula: 'the worst of: known to be silent, falling silent after it or before it, back again',
    source: 'timeout, retries and pace of the line',
  };
}

function lineSource({ line }: LineTurns): string {
  const [first] = line.listen;
  if (first?.kind === 'rtu') return `${first.baud} baud; MB-SER 2.5.1`;
  if (first?.kind === 'tcp' && line.pace !== null)
    return `${line.pace.baud} baud behind a gateway; MB-SER 2.5.1`;
  return 'network: nothing on the wire but --network';
}

/** The commands go out on another line, which may be busy with a silent sensor of its own just then. */
function elsewhere(
  asked: Asked,
  ioTurns: LineTurns,
  silent: number,
): { readonly onLine: number; readonly waitMs: number } {
  const answered = longestTurnMs(ioTurns);
  const lost = longestLostMs(ioTurns);
  if (silent === 0) return { onLine: 0, waitMs: answered };
  const period = (count: number): number => longestPeriodMs(asked.turns, asked.position, count);
  return period(silent) + answered >= period(silent - 1) + lost
    ? { onLine: silent, waitMs: answered }
    : { onLine: silent - 1, waitMs: lost };
}

/** A turn that cannot be broken off, at worst one that waits for a silent sensor. */
export function longestLostMs(turns: LineTurns): number {
  return Math.max(longestTurnMs(turns), ...turns.sensors.map((turn) => turn.lostMs));
}

function longestTurnMs(turns: LineTurns): number {
  return Math.max(0, ...owedTurns(turns).map((turn) => turn.answeredMs));
}

export function fieldIoLine(
  rig: Rig,
  lines: readonly LineTurns[],
): { readonly fieldIo: NonNullable<LineTurns['fieldIo']>; readonly turns: LineTurns } {
  const turns = lines.find(({ line }) => line.id === rig.fieldIo.line);
  if (turns === undefined || turns.fieldIo === null) throw new Error(`no field I/O on ${rig.fieldIo.line}`);
  return { fieldIo: turns.fieldIo, turns };
}

/** A contact hangs on the field I/O's inputs, which are asked first in a cycle. */
function contactAsked(rig: Rig, lines: readonly LineTurns[]): Asked {
  const { fieldIo, turns } = fieldIoLine(rig, lines);
  return {
    turns,
    own: fieldIo.inputs,
    tellingMs: fieldIo.inputs.answeredMs,
    position: { before: 0, after: turns.sensors.length },
  };
}

function sensorAsked({ id, line }: ModbusSensor, rig: Rig, lines: readonly LineTurns[]): Asked {
  const turns = lines.find((one) => one.line.id === line);
  const before = turns?.sensors.findIndex(({ sensor }) => rig.sensors[sensor]?.id === id) ?? -1;
  const own = turns?.sensors[before];
  if (turns === undefined || own === undefined) throw new Error(`${id} is on no line`);
  return {
    turns,
    own,
    tellingMs: own.tellingMs,
    position: { before, after: turns.sensors.length - 1 - before },
  };
}
