/** A world that is asked, written to and stepped by hand, and what the trace makes of it. */
import { expect } from 'vitest';
import { TraceRecorder } from '../../../sim/drill/trace-recorder.ts';
import type { Trace } from '../../../sim/judge/trace.ts';
import { applyStep, World } from '../../../sim/world/index.ts';
import { encodeRequest, type Request } from '../../../src/modbus/index.ts';
import type { Rig } from '../../../src/rig/index.ts';
import { ms } from '../../../src/units/index.ts';
import { demoRig, stepFor } from '../../helpers/demo.ts';

export const FIELD_IO = 200;
export const INPUTS: Request = { kind: 'read', functionCode: 2, address: 0, quantity: 26 };
/** What `write` takes for a unit that cools with both compressors. */
export const COOLING = [1, 1, 0, 0, 0, 1, 1] as const;

export class Scene {
  readonly #rig: Rig;
  readonly #recorder: TraceRecorder;
  readonly #world: World;
  #now = ms(0);

  constructor(rig = demoRig()) {
    this.#rig = rig;
    this.#recorder = new TraceRecorder(rig, { startMs: 0, asksItself: false });
    this.#world = new World(rig, {
      seed: 1,
      startMs: ms(0),
      serviceDaysLeft: () => 1000,
      observe: this.#recorder.observe,
    });
  }

  at(seconds: number): this {
    this.#now = ms(seconds * 1000);
    this.#world.advance(this.#now);
    return this;
  }

  ask(unit: number, request: Request): this {
    this.#world.serve('main', unit, encodeRequest(request), this.#now);
    return this;
  }

  write(...coils: readonly number[]): this {
    const parts = [
      { address: 0, values: Uint16Array.from(coils.slice(0, 5)) },
      { address: 8, values: Uint16Array.from(coils.slice(5)) },
    ];
    for (const part of parts) this.ask(FIELD_IO, { kind: 'writeMany', functionCode: 15, ...part });
    return this;
  }

  step(written: unknown): this {
    expect(applyStep(this.#world, stepFor(this.#rig, written), this.#now)).toBeNull();
    return this;
  }

  trace(): Trace {
    return this.#recorder.finish(this.#now);
  }
}

export function requestsOf(trace: Trace, id: string) {
  return trace.sensors.find((sensor) => sensor.id === id)?.requests ?? [];
}
