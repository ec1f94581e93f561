/** What a line's turns take: what the supervisor really asks, in the order in which it asks it. */
import type { Line, ModbusSensor, Rig } from '../rig/index.ts';
import { type Addressed, modbusSensor, planOf, requestsOf, type SupervisorPlan } from '../supervisor/plan.ts';
import { isRetried, type RequestTime, requestTime } from './request-time.ts';

/** One task on the line, in whole milliseconds a request: no clock of a supervisor counts finer. */
export interface Turn {
  readonly answeredMs: number;
  /** The same in whole milliseconds that are surely over: what it spares where it is left out. */
  readonly answeredLeastMs: number;
  /** Where its first request gets no answer. */
  readonly silentMs: number;
  /** Where the device falls silent at the worst of its requests. */
  readonly lostMs: number;
  /** As they are, one a request. */
  readonly requests: readonly RequestTime[];
}

export interface SensorTurn extends Turn {
  /** Index among the rig's sensors. */
  readonly sensor: number;
  /** From its last request that can tell gas until the turn ends: gas that comes later waits for the next. */
  readonly tellingMs: number;
}

export interface LineTurns {
  readonly line: Line;
  /** In the order in which they are asked. */
  readonly sensors: readonly SensorTurn[];
  /** null where the field I/O hangs on another line. */
  readonly fieldIo: { readonly inputs: Turn; readonly write: Turn; readonly readBack: Turn } | null;
  /** How often a turn without an answer is tried again in the cycle that began it. */
  readonly retries: number;
}

export function turnsOf(rig: Rig, networkMs: number): readonly LineTurns[] {
  const plan = planOf(rig);
  const coils = commandCoils(plan);
  return rig.lines.map((line, index) => {
    const linePlan = plan.lines[index];
    if (linePlan === undefined) throw new Error(`no plan of line ${line.id}`);
    const turn = (requests: readonly Addressed[]): Turn => turnOf(requests, line, networkMs);
    const sensors = linePlan.sensors.map((sensor) => {
      const whole = turn(requestsOf(plan, { kind: 'sensor', sensor }, coils));
      return { sensor, ...whole, tellingMs: tellingMs(whole, modbusSensor(plan, sensor)) };
    });
    const fieldIo = linePlan.fieldIo
      ? {
          inputs: turn(plan.reads.inputs),
          write: turn(requestsOf(plan, { kind: 'write' }, coils)),
          readBack: turn(plan.reads.readBack),
        }
      : null;
    const silentMs = Math.max(0, ...sensors.map((one) => one.silentMs));
    return { line, sensors, fieldIo, retries: isRetried(line, silentMs) ? linePlan.retries : 0 };
  });
}

/** What says gas: any of them trips, also against the others. */
const TELLS_GAS = ['state', 'gasBit', 'gasPercentLfl'] as const;

function tellingMs({ requests }: Turn, { codec }: ModbusSensor): number {
  const last = codec.reads.findLastIndex((block) =>
    TELLS_GAS.some((name) => {
      const point = codec.profile.points[name];
      return (
        point?.table === block.table &&
        point.address >= block.address &&
        point.address < block.address + block.quantity
      );
    }),
  );
  return requests.slice(last).reduce((sum, one) => sum + Math.ceil(one.answeredMs), 0);
}

/** As many as are written; how they stand makes no difference to the time. */
function commandCoils(plan: SupervisorPlan): readonly boolean[] {
  const quantity = plan.reads.readBack[0]?.request;
  return Array.from({ length: quantity?.kind === 'read' ? quantity.quantity : 0 }, () => false);
}

function turnOf(asked: readonly Addressed[], line: Line, networkMs: number): Turn {
  const requests = asked.map(({ request }) => requestTime(request, line, networkMs));
  let answeredMs = 0;
  let answeredLeastMs = 0;
  let lostMs = 0;
  for (const one of requests) {
    lostMs = Math.max(lostMs, answeredMs + Math.ceil(one.silentMs));
    answeredMs += Math.ceil(one.answeredMs);
    answeredLeastMs += Math.floor(one.answeredMs);
  }
  return { answeredMs, answeredLeastMs, silentMs: Math.ceil(requests[0]?.silentMs ?? 0), lostMs, requests };
}

/** The turns that a cycle owes where everybody answers. */
export function owedTurns({ sensors, fieldIo }: LineTurns): readonly Turn[] {
  return fieldIo === null ? sensors : [fieldIo.inputs, ...sensors, fieldIo.readBack, fieldIo.write];
}

export function busyMs(turns: LineTurns): number {
  return owedTurns(turns).reduce((sum, turn) => sum + turn.answeredMs, 0);
}

/** Request and answer. */
export function longestRequestMs(turns: LineTurns): number {
  const requests = owedTurns(turns).flatMap((turn) => turn.requests);
  return Math.max(0, ...requests.map((one) => one.answeredMs));
}
