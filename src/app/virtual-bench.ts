/**
 * The whole ring in virtual time: the world and the built-in supervisor, joined without a socket. Time jumps
 * from one due moment to the next; the same rig, steps and seed give the same run, always.
 */

import type { Step } from '../../sim/drill/step.ts';
import { applyStep, type Observe, World } from '../../sim/world/index.ts';
import type { Fact } from '../events/index.ts';
import type { PowerUp } from '../mitigation/index.ts';
import type { Rig } from '../rig/index.ts';
import { planOf, type SupervisorState, VirtualSupervisor } from '../supervisor/index.ts';
import { type Ms, ms } from '../units/index.ts';
import { SERVICE_DAYS_NEW } from './service-life.ts';

export interface VirtualOptions {
  readonly seed: number;
  readonly observe: Observe;
  readonly tell: (facts: readonly Fact[]) => void;
}

const NEW_RECORD: PowerUp = { record: 'empty', tripAgesMs: [], tripCounted: false };

export class VirtualBench {
  readonly world: World;
  readonly #supervisor: VirtualSupervisor;
  #nowMs = ms(0);

  constructor(rig: Rig, options: VirtualOptions) {
    this.world = new World(rig, {
      seed: options.seed,
      startMs: this.#nowMs,
      serviceDaysLeft: () => SERVICE_DAYS_NEW,
      observe: options.observe,
    });
    const wire = (line: string, unitId: number, pdu: Uint8Array, now: Ms): Uint8Array | undefined =>
      this.world.serve(line, unitId, pdu, now);
    this.#supervisor = new VirtualSupervisor(planOf(rig), NEW_RECORD, wire, options.tell, this.#nowMs);
  }

  get supervisor(): SupervisorState {
    return this.#supervisor.state;
  }

  /** A step at the present moment; a sentence where it cannot be carried out. */
  apply(step: Step): string | null {
    return applyStep(this.world, step, this.#nowMs);
  }

  /** Runs to `untilMs`, everything due at that moment included. The world goes first where both are due. */
  runUntil(untilMs: Ms): void {
    for (;;) {
      const worldMs = this.world.nextDueMs();
      const dueMs = Math.max(this.#nowMs, Math.min(worldMs, this.#supervisor.nextDueMs(this.#nowMs)));
      if (dueMs > untilMs) break;
      this.#nowMs = dueMs as Ms;
      this.world.advance(this.#nowMs);
      this.#supervisor.wake(this.#nowMs);
    }
    this.#nowMs = untilMs;
    this.world.advance(untilMs);
  }
}
