/**
 * The whole ring in virtual time: the world and the built-in supervisor, joined without a socket.
 */
import type { Step } from '../../sim/drill/step.ts';
import type { Observe, World } from '../../sim/world/index.ts';
import type { Fact } from '../events/index.ts';
import type { Rig } from '../rig/index.ts';
import type { SupervisorState } from '../supervisor/index.ts';
import type { Ms } from '../units/index.ts';
import { BuiltIn } from './drill/built-in.ts';
import { VirtualWorld } from './virtual-world.ts';

export interface VirtualOptions {
  readonly seed: number;
  readonly observe: Observe;
  readonly tell: (facts: readonly Fact[]) => void;
}

export class VirtualBench {
  readonly #virtual: VirtualWorld;
  readonly #controller: BuiltIn;

  constructor(rig: Rig, { seed, observe, tell }: VirtualOptions) {
    const virtual = new VirtualWorld(rig, seed, observe);
    const controller = new BuiltIn(
      rig,
      (line, unitId, pdu, now) => virtual.world.serve(line, unitId, pdu, now),
      tell,
    );
    virtual.power.controller = {
      set: (on) => {
        controller.power(on, virtual.world.nowMs);
      },
    };
    this.#virtual = virtual;
    this.#controller = controller;
  }

  get world(): World {
    return this.#virtual.world;
  }

  /** null while the controller has no power. */
  get supervisor(): SupervisorState | null {
    return this.#controller.state;
  }

  /** A step at the present moment; a sentence where it cannot be carried out. */
  apply(step: Step): string | null {
    return this.#virtual.apply(step);
  }

  /** Runs to `untilMs`, everything due at that moment included. */
  runUntil(untilMs: Ms): void {
    const dueMs = (): number => this.#controller.nextDueMs();
    for (const now of this.#virtual.moments(untilMs, dueMs)) this.#controller.wake(now);
  }
}
