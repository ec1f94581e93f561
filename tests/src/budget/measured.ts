/**
 * A rig's times as the bench has them in virtual time: gas at one sensor, stepped to the LFL or above at the
 * worst moment that a search over poll phase and silences finds, until mitigation and until air moves.
 */
import type { Step } from '../../../sim/drill/step.ts';
import type { Observation } from '../../../sim/world/index.ts';
import { VirtualBench } from '../../../src/app/virtual-bench.ts';
import type { ModbusSensor, Rig } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { stepFor } from '../../helpers/demo.ts';

export interface Measured {
  /** From the step; null where it never came. */
  readonly commandedMs: number | null;
  readonly airflowMs: number | null;
}

export interface Extremes {
  readonly commandedMs: number;
  readonly airflowMs: number;
  /** Between two requests to one sensor, and between two whole writes. */
  readonly askedMs: number;
  readonly writtenMs: number;
}

type Timed = readonly [atMs: number, step: Step];

/** What happens on the bench until `untilMs`. */
function play(rig: Rig, steps: readonly Timed[], untilMs: number): readonly Observation[] {
  const seen: Observation[] = [];
  const keep = (one: Observation): void => {
    // The bytes are the wire's own, and used again.
    seen.push(one.kind === 'asked' ? { ...one, pdu: Uint8Array.from(one.pdu) } : one);
  };
  const bench = new VirtualBench(rig, { seed: 1, observe: keep, tell: () => undefined });
  for (const [atMs, step] of [...steps].sort(([one], [other]) => one - other)) {
    bench.runUntil(ms(atMs));
    const problem = bench.apply(step);
    if (problem !== null) throw new Error(problem);
  }
  bench.runUntil(ms(untilMs));
  return seen;
}

function gasAt(rig: Rig, sensor: string, percentLfl: number): Step {
  return stepFor(rig, { testGas: { at: sensor, level: `${percentLfl} %LFL` } });
}

/** A trial: who is silent, by when, and who is asked too late for it. */
export interface Trial {
  /** The sensor that gets the gas. */
  readonly at: ModbusSensor;
  /** Silent for some cycles before. */
  readonly known: readonly ModbusSensor[];
  /** Silent from just after `at` was asked. */
  readonly falls: readonly ModbusSensor[];
  /** As `known`, but answering again from just after `at` was asked. */
  readonly back: readonly ModbusSensor[];
  /** Cooling is called for and runs: then mitigation has a compressor to stop, and air moves before. */
  readonly cooling: boolean;
}

const CYCLES_BEFORE = 2;
const CYCLES_AFTER = 4;

/** Moments at which a sensor is asked for one of its blocks. */
function askedAt(
  seen: readonly Observation[],
  { line, unitId, codec }: ModbusSensor,
  block: number,
): readonly number[] {
  const address = codec.reads.at(block)?.address;
  return seen.flatMap((one) =>
    one.kind === 'asked' &&
    one.line === line &&
    one.unitId === unitId &&
    ((one.pdu[1] ?? 0) << 8) + (one.pdu[2] ?? 0) === address
      ? [one.atMs]
      : [],
  );
}

/** What comes after the last request of a turn waits for the next turn. */
const LAST_BLOCK = -1;

/** Plays one trial with the gas at the worst phase it has, and at `phases` others. */
export function measure(rig: Rig, trial: Trial, phases: readonly number[], level = 100): Extremes {
  const endMs = settledMs(rig, trial.known.length + trial.falls.length + trial.back.length);
  const calls: readonly Timed[] = trial.cooling ? [[0, stepFor(rig, { call: { cooling: 'on' } })]] : [];
  const before =
    askedAt(play(rig, calls, endMs), trial.at, LAST_BLOCK).at(-CYCLES_AFTER - CYCLES_BEFORE) ?? 0;
  const known = [
    ...calls,
    ...[...trial.known, ...trial.back].map((sensor) => [before + 1, silenceOf(rig, sensor)] as const),
  ];
  // Who is silent moves the others forward, so the turn to miss is looked for with the silent ones out.
  const pivot = turnBeforeEnd(play(rig, known, endMs), trial.at, CYCLES_AFTER);
  const silences = [
    ...known,
    ...trial.falls.map((sensor) => [pivot, silenceOf(rig, sensor)] as const),
    ...trial.back.map(({ id }) => [pivot, stepFor(rig, { mend: { in: id, kind: 'silent' } })] as const),
  ];
  const seen = play(rig, silences, endMs);
  const asked = askedAt(seen, trial.at, LAST_BLOCK).filter((atMs) => atMs >= pivot);
  const [fromMs, gapMs] = longestGap(asked);
  const responseMs = lagMs(rig, trial.at, level);
  // The reading reaches the setpoint within the millisecond after the request that it misses.
  const missedAtMs = Math.floor(fromMs - responseMs) + 1;
  const found = [0, ...phases.map((phase) => phase * gapMs)].map((laterMs) => {
    const atMs = Math.round(missedAtMs + laterMs);
    const untilMs = atMs + responseMs + 3 * gapMs + rig.fan.spinUpMs + 2000;
    return answerTo(play(rig, [...silences, [atMs, gasAt(rig, trial.at.id, level)]], untilMs), atMs);
  });
  return {
    commandedMs: Math.max(...found.map(({ commandedMs }) => commandedMs ?? Number.POSITIVE_INFINITY)),
    airflowMs: Math.max(...found.map(({ airflowMs }) => airflowMs ?? Number.POSITIVE_INFINITY)),
    askedMs: Math.max(
      ...rig.sensors.flatMap((one) => (one.kind === 'modbus' ? [longestGap(askedAt(seen, one, 0))[1]] : [])),
    ),
    writtenMs: longestGap(wholeWrites(seen, rig))[1],
  };
}

function turnBeforeEnd(seen: readonly Observation[], sensor: ModbusSensor, turns: number): number {
  const found = askedAt(seen, sensor, LAST_BLOCK).at(-turns);
  if (found === undefined) throw new Error(`${sensor.id} was asked fewer than ${turns} times`);
  return found;
}

function silenceOf(rig: Rig, { id }: ModbusSensor): Step {
  return stepFor(rig, { fault: { in: id, kind: 'silent' } });
}

/** Of the profiles that come with the bench: both frames of a turn, and the silences after them. */
const CHARACTERS_MOST = 110;

/** Long enough for every self-test and for all cycles of a trial, at the worst pace of the rig. */
function settledMs(rig: Rig, silent: number): number {
  const cyclesMs = rig.lines.map((line) => {
    const sensors = rig.sensors.filter((one) => one.kind === 'modbus' && one.line === line.id).length;
    const turnMs = line.pace === null ? 1 : (CHARACTERS_MOST * 11_000) / line.pace.baud;
    return Math.max(line.pollEveryMs, (sensors + 5) * turnMs) + silent * line.timeoutMs;
  });
  // Self-test, spin-up, and what it takes for a compressor to run.
  return 12_000 + (CYCLES_BEFORE + CYCLES_AFTER + 2) * Math.max(...cyclesMs);
}

function longestGap(moments: readonly number[]): readonly [fromMs: number, gapMs: number] {
  let longest: readonly [number, number] = [0, 0];
  moments.forEach((atMs, index) => {
    const gapMs = (moments[index + 1] ?? atMs) - atMs;
    if (gapMs > longest[1]) longest = [atMs, gapMs];
  });
  return longest;
}

/** Analytic, so that the search does not lean on the budget that it tests. */
function lagMs(rig: Rig, { responseT90Ms }: ModbusSensor, level: number): number {
  return -(responseT90Ms / Math.LN10) * Math.log(1 - rig.policy.setpoint / level);
}

function wholeWrites(seen: readonly Observation[], { fieldIo }: Rig): readonly number[] {
  const LAST_RUN_FROM = 8;
  return seen.flatMap((one) =>
    one.kind === 'asked' &&
    one.line === fieldIo.line &&
    one.unitId === fieldIo.unitId &&
    one.pdu[0] === 15 &&
    one.pdu[2] === LAST_RUN_FROM
      ? [one.atMs]
      : [],
  );
}

/** What stands already when the gas comes has come at once. */
function answerTo(seen: readonly Observation[], fromMs: number): Measured {
  const on = new Map<string, boolean>();
  let commandedMs: number | null = null;
  let airflowMs: number | null = null;
  for (const one of seen) {
    if (one.kind === 'command') on.set(one.output, one.on);
    else if (one.kind === 'input' && one.input === 'airflow') on.set('airflow', one.on);
    else continue;
    const sinceMs = Math.max(0, one.atMs - fromMs);
    commandedMs = isMitigation(on) ? (commandedMs ?? sinceMs) : null;
    airflowMs = on.get('airflow') === true ? (airflowMs ?? sinceMs) : null;
  }
  return { commandedMs, airflowMs };
}

function isMitigation(on: ReadonlyMap<string, boolean>): boolean {
  const off = (output: string): boolean => on.get(output) !== true;
  const compressors = [...on.keys()].filter((output) => output.startsWith('compressor'));
  return on.get('fan') === true && on.get('damper') === true && off('heat') && compressors.every(off);
}
