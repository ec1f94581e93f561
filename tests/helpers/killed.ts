/**
 * Benches that are killed with SIGKILL at random moments and started again on the same record, and what must be
 * true of them afterwards, seen from outside alone. Kills in long and in short (tests/long, tests/live).
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import type { CloudEvent } from '../../src/events/index.ts';
import { packageRoot } from '../../src/files/index.ts';
import { openRecord, READ_EVENTS_MAX } from '../../src/record/index.ts';
import { type BenchProcess, freshFolder, killInStart, startBench } from './bench-process.ts';
import { call, postStep, Stream } from './outside-view.ts';

const QUICK_RIG = join(packageRoot(), 'tests/live/quick.rig.yaml');
/** A little of everything in 280 s of bench time. */
export function quickDrill(): string {
  const file = QUICK_RIG.replace('.rig.', '.drill.');
  return readFileSync(file, 'utf8').replace('./quick.rig.yaml', QUICK_RIG);
}

/** As that rig has them. */
const HOLD_MS = 20_000;
const WATCHDOG_MS = 5000;
const SPEED = 20;

/** One kill: how long after its start (real time), and what befalls the rig meanwhile. */
export interface Kill {
  readonly afterMs: number;
  /** Killed once more while it starts, whether it has said anything yet or not. */
  readonly inStart: boolean;
  readonly step: unknown;
}

const STEPS: readonly unknown[] = [
  { testGas: { at: 'coil-b', level: '80 %LFL', lasts: '4 s' } },
  { testGas: { at: 'coil-a', level: '80 %LFL', lasts: '15 s' } },
  { fault: { in: 'coil-a', kind: 'silent', lasts: '8 s' } },
  { fault: { in: 'fan', kind: 'fan-dead', lasts: '10 s' } },
  { fire: 'on' },
  { fire: 'off' },
  { call: { cooling: 'on' } },
];

/** The same kills for the same seed; most find it in a hold or about to leave one. */
export function killPlan(count: number, seed: number): readonly Kill[] {
  const kill = fc.record({
    afterMs: fc.integer({ min: 0, max: (2.5 * HOLD_MS) / SPEED }),
    inStart: fc.integer({ min: 0, max: 5 }).map((draw) => draw === 0),
    step: fc.constantFrom(...STEPS),
  });
  return fc.sample(kill, { numRuns: count, seed: Number(process.env['LEAKBENCH_SEED'] ?? seed) });
}

const pause = (forMs: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, forMs));

/** A process on one record, and all that its stream and its API have ever acknowledged. */
class Killed {
  readonly #args: readonly string[];
  readonly #folder = freshFolder();
  readonly #acknowledged = new Map<number, string>();
  #reported = 0;
  #kills = 0;
  #verified = 0;
  #run: { readonly bench: BenchProcess; readonly stream: Stream } | null = null;

  constructor(...args: readonly string[]) {
    this.#args = [...args, '--speed', String(SPEED), '--data', this.#folder];
  }

  get acknowledged(): number {
    return this.#acknowledged.size;
  }

  get kills(): number {
    return this.#kills;
  }

  /** What the process killed last had said since it started. */
  past: readonly CloudEvent[] = [];

  get page(): string {
    return this.#running().bench.page;
  }

  get stream(): Stream {
    return this.#running().stream;
  }

  /** Starts it, and reads again what it had acknowledged. Says how its supervisor began. */
  async start(): Promise<string> {
    const last = Math.max(0, ...this.#acknowledged.keys(), this.#reported);
    const bench = await startBench(this.#args);
    this.#run = { bench, stream: new Stream(bench.page, this.#verified) };
    const started = await this.stream.next('supervisor.started', {}, last);
    this.#take();
    this.#verified = last;
    return String(started.data.fields['state']);
  }

  async kill(): Promise<void> {
    const { bench, stream } = this.#running();
    this.#reported = (await call<{ sequence: number }>(bench.page, 'now')).sequence;
    await bench.stop('SIGKILL');
    stream.close();
    this.#take();
    this.#kills += 1;
    const started = stream.events.findLastIndex(({ type }) => type === 'leakbench.bench.started');
    this.past = stream.events.slice(started);
    this.#run = null;
  }

  killInStart(afterMs: number): Promise<void> {
    this.#kills += 1;
    return killInStart(this.#args, afterMs);
  }

  async stop(): Promise<void> {
    this.#run?.stream.close();
    await this.#run?.bench.stop('SIGKILL');
    this.#run = null;
  }

  /** Everything wrong with the record as it lies there: gaps, and what was acknowledged and is not in it. */
  lost(): readonly string[] {
    const record = openRecord({ folder: this.#folder, rigName: 'read alone' });
    const wrong: string[] = [];
    const last = record.lastSequence();
    for (let after = 0; after < last; after += READ_EVENTS_MAX) {
      record.readAfter(after, READ_EVENTS_MAX).forEach((event, index) => {
        if (event.sequence !== after + index + 1) wrong.push(`${event.sequence} after ${after + index}`);
        const told = this.#acknowledged.get(event.sequence);
        if (told !== undefined && told !== JSON.stringify(event)) wrong.push(`${event.sequence} was ${told}`);
      });
    }
    record.close();
    const most = Math.max(this.#reported, ...this.#acknowledged.keys());
    return last < most ? [...wrong, `it ends at ${last}, and ${most} was acknowledged`] : wrong;
  }

  /** Throws where what is streamed has a gap, or is another than it was before a kill. */
  #take(): void {
    let last: number | null = null;
    for (const event of this.stream.events) {
      if (last !== null && event.sequence !== last + 1)
        throw new Error(`${event.sequence} came after ${last}`);
      last = event.sequence;
      const text = JSON.stringify(event);
      const before = this.#acknowledged.get(event.sequence);
      if (before !== undefined && before !== text)
        throw new Error(`${event.sequence} was ${before}, is ${text}`);
      this.#acknowledged.set(event.sequence, text);
    }
  }

  #running(): { readonly bench: BenchProcess; readonly stream: Stream } {
    if (this.#run === null) throw new Error('it does not run');
    return this.#run;
  }
}

/** What came of so many kills. */
export interface AfterKills {
  readonly kills: number;
  /** Everything that must not be. */
  readonly wrong: readonly string[];
  readonly acknowledged: number;
  /** Compressors that were seen to start. */
  readonly starts: number;
}

/** A supervisor alone is killed; sensors and equipment go on in a process that stays. */
export async function killSupervisor(kills: readonly Kill[]): Promise<AfterKills> {
  const sim = await startBench([
    ...['sim', QUICK_RIG, '--speed', String(SPEED), '--data', freshFolder(), '--bus', 'tcp://127.0.0.1:0'],
  ]);
  const world = new Stream(sim.page);
  const supervisor = new Killed('supervise', QUICK_RIG, '--bus', `tcp://127.0.0.1:${sim.lines['main'] ?? 0}`);
  const wrong: string[] = [];
  const holds: Stretch[] = [];
  try {
    await postStep(sim.page, { call: { cooling: 'on' } });
    await supervisor.start();
    await world.next('output.changed', { output: 'compressor.a', on: true });
    for (const { afterMs, inStart, step } of kills) {
      await postStep(sim.page, step);
      await pause(afterMs);
      await supervisor.kill();
      if (inStart) await supervisor.killInStart(afterMs / 2);
      // Whoever starts again does so later than this.
      const { nowMs } = await call<{ nowMs: number }>(sim.page, 'now');
      holds.push({ fromMs: nowMs + WATCHDOG_MS, untilMs: nowMs + HOLD_MS });
      const state = await supervisor.start();
      if (state !== 'holding') wrong.push(`began in ${state} after a kill`);
    }
    // And once nobody kills it any more, it serves again.
    await postStep(sim.page, { fire: 'off' });
    const { sequence } = await call<{ sequence: number }>(sim.page, 'now');
    await world.next('output.changed', { output: 'compressor.a', on: true }, sequence);
  } finally {
    await supervisor.stop();
    world.close();
    await sim.stop('SIGKILL');
  }
  const { starts, against } = compressorsIn(world, holds);
  const { acknowledged } = supervisor;
  return {
    kills: supervisor.kills,
    wrong: [...wrong, ...against, ...supervisor.lost()],
    acknowledged,
    starts,
  };
}

interface Stretch {
  readonly fromMs: number;
  readonly untilMs: number;
}

/** Compressors on inside a stretch, and inside the hold after test gas. */
function compressorsIn({ events }: Stream, holds: readonly Stretch[]) {
  const on = new Map<unknown, number>();
  const running: Stretch[] = [];
  const gas: Stretch[] = [];
  for (const { type, data } of events) {
    const { output, on: isOn } = data.fields;
    if (type === 'leakbench.testGas.ended') gas.push({ fromMs: data.atMs, untilMs: data.atMs + HOLD_MS });
    if (type !== 'leakbench.output.changed' || !String(output).startsWith('compressor')) continue;
    if (isOn === true) on.set(output, data.atMs);
    else running.push({ fromMs: on.get(output) ?? 0, untilMs: data.atMs });
  }
  const last = events.at(-1)?.data.atMs ?? 0;
  for (const fromMs of on.values())
    if (!running.some((one) => one.fromMs === fromMs)) running.push({ fromMs, untilMs: last });
  const against = running.flatMap((run) => {
    const hold = holds.find((one) => run.fromMs < one.untilMs && run.untilMs > one.fromMs);
    // With gas the supervisor may have been dead while it came; what counts is that nothing starts after it.
    const after = gas.find((one) => run.fromMs >= one.fromMs && run.fromMs < one.untilMs);
    return [hold, after].flatMap((one) =>
      one === undefined
        ? []
        : [`ran ${run.fromMs} to ${run.untilMs} in the hold ${one.fromMs} to ${one.untilMs}`],
    );
  });
  return { starts: running.length, against };
}

/** Everything in one process, with a drill that plays: sensors, equipment, supervisor and judge are killed. */
export async function killBench(kills: readonly Kill[], drill: string): Promise<AfterKills> {
  const bench = new Killed('serve', QUICK_RIG, '--bus', 'tcp://127.0.0.1:0');
  const wrong: string[] = [];
  let starts = 0;
  try {
    // The first has no past, and no hold to keep.
    let state = await bench.start();
    for (const { afterMs, inStart } of kills) {
      await call(bench.page, 'steps', { call: { cooling: 'on' } });
      await pause(afterMs / 4);
      await call(bench.page, 'drill', { text: drill });
      await pause(afterMs);
      await bench.kill();
      if (inStart) await bench.killInStart(afterMs / 2);
      const began = startsIn(bench.past);
      starts += began.all;
      if (state === 'holding' && began.inHold > 0)
        wrong.push(`${began.inHold} compressors started in the hold after a kill`);
      state = await bench.start();
      if (state !== 'holding') wrong.push(`began in ${state} after a kill`);
    }
  } finally {
    await bench.stop();
  }
  const { acknowledged } = bench;
  return { kills: bench.kills, wrong: [...wrong, ...bench.lost()], acknowledged, starts };
}

/** Bench time begins with the process; a drill's fresh start ends the hold, since its rig has no past. */
function startsIn(events: readonly CloudEvent[]): { readonly all: number; readonly inHold: number } {
  const resetAt =
    events.find(({ type }) => type === 'leakbench.bench.reset')?.sequence ?? Number.POSITIVE_INFINITY;
  const all = events.filter(
    ({ type, data: { fields } }) =>
      type === 'leakbench.output.changed' &&
      String(fields['output']).startsWith('compressor') &&
      fields['on'] === true,
  );
  const inHold = all.filter(({ sequence, data }) => sequence < resetAt && data.atMs < HOLD_MS);
  return { all: all.length, inHold: inHold.length };
}
