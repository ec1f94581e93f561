/**
 * The ground all rules stand on: the trace turned into spans, worked out once.
 *
 * Judged time: the rig and the controller have power, no fire stands, the field I/O is not silent. Outside it
 * a controller cannot do anything, or must do something else; after a gap in it every obligation counts anew
 * from the gap's end. A request lost now and then is no gap.
 */
import { type Episode, episodesIn } from './episodes.ts';
import { type Lock, locksIn } from './locks.ts';
import type { JudgedPolicy } from './policy.ts';
import { type Reason, strictSpan } from './reason.ts';
import { type Told, toldAtCuts, toldBy } from './reasons.ts';
import { after, intersect, intersectAll, minus, type Spans, spansOf, union, whileIs } from './spans.ts';
import type { Signal, Trace } from './trace.ts';

export interface Ground {
  readonly trace: Trace;
  readonly policy: JudgedPolicy;
  readonly rigPowered: Spans;
  /** Lives of the controller: it and the rig have power. Each begins with a power-up. */
  readonly lives: Spans;
  /** As lives, while the field I/O answers: the controller can see and act. */
  readonly acting: Spans;
  /** The watchdog holds the outputs over a lost request: nothing of that is what the controller commanded. */
  readonly commandsLost: Spans;
  /** While the field I/O owed an answer. */
  readonly owed: Spans;
  readonly fire: Spans;
  readonly judged: Spans;
  readonly fan: Spans;
  readonly damper: Spans;
  readonly heat: Spans;
  readonly hasHeat: boolean;
  /** By circuit. */
  readonly compressors: ReadonlyMap<string, Spans>;
  readonly alarm: Spans;
  readonly trouble: Spans;
  /** The watchdog holds the outputs, whoever is to blame for it. */
  readonly watchdogHolds: Spans;
  /** Fan on, dampers open, heat off, every compressor off. */
  readonly mitigation: Spans;
  /** Heat off, every compressor off. */
  readonly stopped: Spans;
  /** A compressor or heat is on. */
  readonly serving: Spans;
  /** By kind, those that something of the rig can serve. */
  readonly calls: ReadonlyMap<string, Spans>;
  /** Any of them. */
  readonly call: Spans;
  readonly airflow: Spans;
  /** Fan commanded and no airflow, from `fanProofWithin` on. */
  readonly airflowMissing: Spans;
  readonly resetPresses: readonly number[];
  /** In the order of the trace's sensors. */
  readonly told: readonly Told[];
  /** Of all sensors, in order of onset. */
  readonly reasons: readonly Reason[];
  readonly strict: Spans;
  readonly episodes: readonly Episode[];
  /** Lock-outs by the reading that locks least: what a controller must do. */
  readonly locksLeast: readonly Lock[];
  /** Lock-outs by the reading that locks most: what a controller may do. */
  readonly lockedMost: Spans;
}

export function groundOf(trace: Trace, policy: JudgedPolicy): Ground {
  const powers = powersOf(trace);
  const outputs = outputsOf(trace, policy);
  const inputs = inputsOf(trace, outputs.hasHeat);
  const airflowMissing = after(
    intersect(minus(outputs.fan, inputs.airflow), powers.judged),
    policy.fanProofWithinMs,
  );
  const told = trace.sensors.map((sensor) => toldBy(sensor, powers.lives, policy));
  const reasons = told.flatMap((one) => one.reasons).sort((a, b) => a.fromMs - b.fromMs);
  const strict = spansOf(reasons.map(strictSpan));
  const facts = { ...powers, ...outputs, ...inputs, airflowMissing, told, reasons, strict, trace, policy };
  const episodes = episodesIn(facts, 'lax');
  return {
    ...facts,
    episodes,
    locksLeast: locksIn(facts, episodesIn(facts, 'least'), 'least'),
    lockedMost: spansOf(locksMostOf(facts).map(({ fromMs, untilMs }) => ({ fromMs, toMs: untilMs }))),
  };
}

/** A controller may count what it saw while nobody judged: in a fire, with the field I/O silent, at a cut. */
function locksMostOf(facts: Omit<Ground, 'episodes' | 'locksLeast' | 'lockedMost'>): readonly Lock[] {
  const { trace, lives, policy } = facts;
  if (policy.latchAfter === null) return [];
  const cut = lives.filter(({ toMs }) => toMs < trace.endMs);
  const atCuts = trace.sensors.flatMap((sensor) => toldAtCuts(sensor, cut, policy));
  const reasons = [...facts.reasons, ...atCuts].sort((a, b) => a.fromMs - b.fromMs);
  return locksIn(facts, episodesIn({ ...facts, reasons, judged: lives }, 'most'), 'most');
}

function powersOf(
  trace: Trace,
): Pick<Ground, 'rigPowered' | 'lives' | 'acting' | 'commandsLost' | 'owed' | 'fire' | 'judged'> {
  const rigPowered = on(trace.rigPower, trace);
  const lives = intersect(rigPowered, on(trace.controllerPower, trace));
  const acting = intersect(lives, on(trace.fieldIoAnswers, trace));
  const fire = on(input(trace, 'fire'), trace);
  const commandsLost = on(trace.commandsLost, trace);
  const owed = on(trace.fieldIoOwes, trace);
  return { rigPowered, lives, acting, commandsLost, owed, fire, judged: minus(acting, fire) };
}

type Outputs = Pick<
  Ground,
  | 'fan'
  | 'damper'
  | 'heat'
  | 'hasHeat'
  | 'compressors'
  | 'alarm'
  | 'trouble'
  | 'watchdogHolds'
  | 'mitigation'
  | 'stopped'
  | 'serving'
>;

function outputsOf(trace: Trace, policy: JudgedPolicy): Outputs {
  const output = (name: string): Spans => on(needed(trace.outputs, 'output', name), trace);
  const compressors = new Map(
    policy.circuits.map((circuit) => [circuit, output(`compressor.${circuit}`)] as const),
  );
  const hasHeat = trace.outputs.has('heat');
  const heat = hasHeat ? output('heat') : [];
  const [fan, damper] = [output('fan'), output('damper')];
  const serving = union(heat, ...compressors.values());
  const stopped = minus(whole(trace), serving);
  const mitigation = intersectAll([fan, damper, stopped]);
  return {
    fan,
    damper,
    heat,
    hasHeat,
    compressors,
    alarm: output('alarm'),
    trouble: output('trouble'),
    watchdogHolds: on(trace.watchdogHolds, trace),
    mitigation,
    stopped,
    serving,
  };
}

function inputsOf(
  trace: Trace,
  hasHeat: boolean,
): Pick<Ground, 'airflow' | 'calls' | 'call' | 'resetPresses'> {
  const calls = new Map([
    ['cooling', on(input(trace, 'call.cooling'), trace)],
    ['heating', hasHeat ? on(input(trace, 'call.heating'), trace) : []],
  ]);
  return {
    airflow: on(input(trace, 'airflow'), trace),
    calls,
    call: union(...calls.values()),
    resetPresses: on(input(trace, 'serviceReset'), trace).map((press) => press.fromMs),
  };
}

const input = (trace: Trace, name: string): Signal<boolean> => needed(trace.inputs, 'input', name);

/** A signal that is not there says nothing, and nothing is not "off". */
function needed(signals: ReadonlyMap<string, Signal<boolean>>, kind: string, name: string): Signal<boolean> {
  const signal = signals.get(name);
  if (signal === undefined || signal.length === 0) throw new RangeError(`trace without ${kind} ${name}`);
  return signal;
}

const on = (signal: Signal<boolean>, trace: Trace): Spans => whileIs(signal, (value) => value, trace.endMs);

const whole = (trace: Trace): Spans => [{ fromMs: trace.startMs, toMs: trace.endMs }];
