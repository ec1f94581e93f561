/** Small traces written by hand. Times are seconds; a list of pairs says when something is on. */
import type {
  Answer,
  Change,
  JudgedPolicy,
  Request,
  RuleId,
  RuleResult,
  SensorTrace,
  Signal,
  Trace,
} from '../../../sim/judge/index.ts';
import { judge } from '../../../sim/judge/index.ts';

export type Times = readonly (readonly [fromS: number, toS: number])[];

/** The limits of the demo rig. */
export const POLICY: JudgedPolicy = {
  setpointPercentLfl: 20,
  clearBelowPercentLfl: 18,
  holdMs: 300_000,
  silentAfterMs: 5_000,
  askWithinMs: 10_000,
  respondWithinMs: 15_000,
  fanProofWithinMs: 10_000,
  compressorMinOffMs: 180_000,
  resumeWithinMs: 300_000,
  watchdogMs: 5_000,
  latchAfter: null,
  circuits: ['a', 'b'],
};

const ALWAYS: Times = [[0, 1e6]];

export const ms = (seconds: number): number => Math.round(seconds * 1000);

function on(times: Times): Signal<boolean> {
  const changes: Change<boolean>[] = [{ atMs: 0, value: false }];
  for (const [fromS, toS] of times) {
    changes.push({ atMs: ms(fromS), value: true }, { atMs: ms(toS), value: false });
  }
  return changes;
}

export interface Sketch {
  readonly sensors?: readonly SensorTrace[];
  /**
   * Fan, damper, heat, alarm, trouble, compressor.CIRCUIT; what is left out is off, heat then is not there.
   */
  readonly outputs?: Readonly<Record<string, Times>>;
  readonly inputs?: Readonly<Record<string, Times>>;
  readonly watchdogHolds?: Times;
  readonly rigPower?: Times;
  readonly controllerPower?: Times;
  readonly fieldIoAnswers?: Times;
  readonly fieldIoOwes?: Times;
  readonly commandsLost?: Times;
  readonly asksItself?: boolean;
}

export function trace(lengthS: number, sketch: Sketch): Trace {
  const outputs = {
    fan: [],
    damper: [],
    alarm: [],
    trouble: [],
    'compressor.a': [],
    'compressor.b': [],
    ...sketch.outputs,
  };
  const inputs = {
    airflow: [],
    fire: [],
    serviceReset: [],
    'call.cooling': [],
    'call.heating': [],
    'call.fan': [],
    ...sketch.inputs,
  };
  const signals = (all: Readonly<Record<string, Times>>): ReadonlyMap<string, Signal<boolean>> =>
    new Map(Object.entries(all).map(([name, times]) => [name, on(times)]));
  return {
    startMs: 0,
    endMs: ms(lengthS),
    sensors: sketch.sensors ?? [],
    outputs: signals(outputs),
    inputs: signals(inputs),
    watchdogHolds: on(sketch.watchdogHolds ?? []),
    rigPower: on(sketch.rigPower ?? ALWAYS),
    controllerPower: on(sketch.controllerPower ?? ALWAYS),
    fieldIoAnswers: on(sketch.fieldIoAnswers ?? ALWAYS),
    fieldIoOwes: on(sketch.fieldIoOwes ?? []),
    commandsLost: on(sketch.commandsLost ?? []),
    asksItself: sketch.asksItself ?? false,
  };
}

/** Mitigation during these times. */
export const mitigating = (times: Times): Readonly<Record<string, Times>> => ({ fan: times, damper: times });

/** What a sensor says at a second; null for no answer, undefined for not being asked. */
export type Says = (atS: number) => Partial<Answer> | null | undefined;

interface SensorSketch {
  readonly kind?: 'modbus' | 'contact';
  readonly serial?: string | null;
  readonly gas?: Signal<number>;
  readonly sound?: Times;
  readonly powered?: Times;
  /** Seconds at which it is asked; each second of `lengthS` where left out. */
  readonly askedAtS?: readonly number[];
}

/**
 * Asked at 0, 1, 2, …; answers at once. A sensor that says nothing of itself measures nothing, and is fine.
 */
export function sensor(id: string, lengthS: number, says: Says, sketch: SensorSketch = {}): SensorTrace {
  const askedAtS = sketch.askedAtS ?? Array.from({ length: lengthS }, (_, second) => second);
  const requests = askedAtS.flatMap((atS): Request[] => {
    const said = says(atS);
    if (said === undefined) return [];
    const atMs = ms(atS);
    return [{ atMs, answer: said === null ? null : { ...fine(sketch, atMs), ...said } }];
  });
  return {
    id,
    kind: sketch.kind ?? 'modbus',
    serial: sketch.serial ?? null,
    requests,
    gas: sketch.gas ?? [{ atMs: 0, value: 0 }],
    sound: on(sketch.sound ?? ALWAYS),
    powered: on(sketch.powered ?? ALWAYS),
  };
}

function fine(sketch: SensorSketch, atMs: number): Answer {
  const modbus = sketch.kind !== 'contact';
  return {
    atMs,
    state: 'measuring',
    gasBit: false,
    selfTestPassed: true,
    gasPercentLfl: modbus ? 0 : undefined,
    counter: modbus ? Math.floor(atMs / 1000) : undefined,
    serial: sketch.serial ?? undefined,
  };
}

export const GAS: Partial<Answer> = { state: 'gas', gasBit: true, gasPercentLfl: 25 };
export const WARMING: Partial<Answer> = {
  state: 'warming-up',
  selfTestPassed: false,
  gasPercentLfl: null,
};

/** Says one thing between two seconds, and that all is well otherwise. */
export function during(fromS: number, toS: number, said: Partial<Answer> | null): Says {
  return (atS) => (atS >= fromS && atS < toS ? said : {});
}

export function verdict(id: RuleId, judged: Trace, policy: Partial<JudgedPolicy> = {}): RuleResult {
  const [result] = judge(judged, { ...POLICY, ...policy }, [id]);
  if (result === undefined) throw new Error(`no result for ${id}`);
  return result;
}

/** Result and margin, which is what most tests are about. */
export function outcome(
  id: RuleId,
  judged: Trace,
  policy: Partial<JudgedPolicy> = {},
): readonly [RuleResult['result'], number | null] {
  const { result, marginS } = verdict(id, judged, policy);
  return [result, marginS];
}
