/**
 * The world in virtual time: it jumps from one due moment to the next and says when its controller must be
 * woken. Whoever runs it wakes the controller, at once or after an answer from elsewhere; the same rig, steps
 * and seed give the same run, always.
 */
import type { Step } from '../../sim/drill/step.ts';
import { applyStep, type Observation, type Observe, World } from '../../sim/world/index.ts';
import type { Rig } from '../rig/index.ts';
import { type Ms, ms } from '../units/index.ts';
import { PowerSwitch } from './power-switch.ts';
import { serviceDaysLeft } from './service-life.ts';

export class VirtualWorld {
  readonly world: World;
  /** Told when steps switch the controller's power. */
  readonly power = new PowerSwitch(unheard);
  #nowMs = ms(0);

  constructor(rig: Rig, seed: number, observe: Observe) {
    const seen = (observation: Observation): void => {
      observe(observation);
      if (observation.kind === 'power') this.power.changed(observation.to, observation.on);
    };
    this.world = new World(rig, {
      seed,
      startMs: this.#nowMs,
      serviceDaysLeft: (sensor) => serviceDaysLeft(sensor, null),
      observe: seen,
    });
  }

  get nowMs(): Ms {
    return this.#nowMs;
  }

  /** A step at the present moment; a sentence where it cannot be carried out. */
  apply(step: Step): string | null {
    return applyStep(this.world, step, this.#nowMs);
  }

  /**
   * Runs to `untilMs`, everything due at that moment included, and yields each moment at which something is
   * due. The world goes first where both are.
   */
  *moments(untilMs: Ms, controllerDueMs: () => number): Generator<Ms, void> {
    for (;;) {
      const dueMs = Math.max(this.#nowMs, Math.min(this.world.nextDueMs(), controllerDueMs()));
      if (dueMs > untilMs) break;
      this.#nowMs = dueMs as Ms;
      this.world.advance(this.#nowMs);
      yield this.#nowMs;
    }
    this.#nowMs = untilMs;
    this.world.advance(untilMs);
  }
}

/** Nothing is waited for in virtual time: a controller that fails does so at once, to whoever woke it. */
function unheard(error: unknown): never {
  throw error;
}
