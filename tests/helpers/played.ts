/** A drill played in virtual time under the built-in supervisor, with looks at the world on the way. */
import type { Drill } from '../../sim/drill/index.ts';
import { TraceRecorder } from '../../sim/drill/trace-recorder.ts';
import type { SensorTrace, Trace } from '../../sim/judge/trace.ts';
import type { WorldPicture } from '../../sim/world/index.ts';
import { pictureOf } from '../../sim/world/picture.ts';
import { siteOf } from '../../sim/world/site.ts';
import type { FieldView } from '../../src/api/class-schema.ts';
import { fieldView } from '../../src/app/class/field-view.ts';
import { VirtualBench } from '../../src/app/virtual-bench.ts';
import type { Fact } from '../../src/events/index.ts';
import type { Rig } from '../../src/rig/index.ts';
import { planOf, supervisorSnapshot } from '../../src/supervisor/index.ts';
import { type Ms, ms } from '../../src/units/index.ts';
import { stepFor } from './demo.ts';
import { SignalRecorder } from './signal-recorder.ts';

const S = 1000;
const SEED = 1;

interface Changes {
  /** In place of the drill's own calls. */
  readonly calls?: Drill['calls'];
  /** Moment in s, and what is done then beside the drill's own steps. */
  readonly also?: readonly (readonly [number, unknown])[];
  readonly untilS?: number;
  /** Moments in s at which the world is looked at, before what is done then. */
  readonly lookAtS?: readonly number[];
}

interface Look {
  readonly world: WorldPicture;
  readonly field: FieldView;
}

export class Played {
  readonly facts: Fact[] = [];
  readonly notes: string[] = [];
  readonly trace: Trace;
  readonly #recorder = new SignalRecorder();
  readonly #looks = new Map<number, Look>();

  constructor(drill: Drill, { calls = drill.calls, also = [], untilS, lookAtS = [] }: Changes = {}) {
    const trace = new TraceRecorder(drill.rig, { startMs: 0, asksItself: false });
    const bench = new VirtualBench(drill.rig, {
      seed: SEED,
      observe: (seen) => {
        trace.observe(seen);
        this.#recorder.observe(seen);
      },
      tell: (facts) => this.facts.push(...facts),
    });
    const steps = [
      ...lookAtS.map((atS) => ({ atMs: atS * S, step: null })),
      ...drill.steps,
      ...also.map(([atS, written]) => ({ atMs: atS * S, step: stepFor(drill.rig, written) })),
    ].toSorted((one, other) => one.atMs - other.atMs);
    bench.apply({ kind: 'call', calls });
    for (const { atMs, step } of steps) {
      bench.runUntil(ms(atMs));
      if (step === null) this.#looks.set(atMs / S, lookAt(drill.rig, bench, ms(atMs)));
      else this.notes.push(...[bench.apply(step)].filter((problem) => problem !== null));
    }
    const endMs = ms(untilS === undefined ? drill.lengthMs : untilS * S);
    bench.runUntil(endMs);
    this.trace = trace.finish(endMs);
  }

  /** The world at a moment that was asked for. */
  at(atS: number): WorldPicture {
    return this.#look(atS).world;
  }

  /** What a class sees and measures at a moment that was asked for. */
  field(atS: number): FieldView {
    return this.#look(atS).field;
  }

  /** When a signal changed, in s, each with + for on and - for off; its state at the start is left out. */
  changes(signal: string): readonly string[] {
    const changes = this.#recorder.changes(signal).filter(({ atMs }) => atMs > 0);
    return changes.map(({ atMs, value }) => `${value === true ? '+' : '-'}${atMs / S}`);
  }

  /** Moments in s at which the mitigation changed, with the state it changed to. */
  states(): readonly string[] {
    const changed = this.facts.filter(({ id }) => id === 'mitigation.changed');
    return changed.map(({ atMs, fields }) => `${atMs / S} ${String((fields as { to: unknown }).to)}`);
  }

  /** What the controller said, each sentence once. */
  said(): readonly string[] {
    const raised = this.facts.filter(({ id }) => id === 'hazard.raised');
    return [...new Set(raised.map(({ fields }) => String((fields as { text: unknown }).text)))];
  }

  /** The highest number that a sensor reported, %LFL. */
  peakReading(sensor: string): number {
    const readings = this.#sensor(sensor).requests.map(({ answer }) => answer?.gasPercentLfl ?? 0);
    return Math.max(0, ...readings);
  }

  /** The most gas there was at a sensor, %LFL; true gas is recorded in steps of half a per cent. */
  peakGas(sensor: string): number {
    return Math.max(...this.#sensor(sensor).gas.map(({ value }) => value));
  }

  #look(atS: number): Look {
    const look = this.#looks.get(atS);
    if (look === undefined) throw new Error(`nobody looked at ${atS} s`);
    return look;
  }

  #sensor(id: string): SensorTrace {
    const sensor = this.trace.sensors.find((one) => one.id === id);
    if (sensor === undefined) throw new Error(`no sensor ${id}`);
    return sensor;
  }
}

function lookAt(rig: Rig, bench: VirtualBench, now: Ms): Look {
  const display = bench.supervisor && supervisorSnapshot(planOf(rig), bench.supervisor, now);
  const clock = { nowMs: now, speed: 1, paused: false };
  const site = siteOf(bench.world, now);
  return { world: pictureOf(bench.world, now), field: fieldView({ rig, site, display, clock }) };
}
