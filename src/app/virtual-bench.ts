/**
 * The whole ring in virtual time: the world and the built-in supervisor, joined without a socket.
 *
 * Most of a drill is calm: the same polls bring the same answers. Where its observer can do without seeing
 * each of them, they are leapt over; what a leap leaves is what stepping through it would have left.
 */
import type { Step } from '../../sim/drill/step.ts';
import { calmUntilMs, type Observe, type World } from '../../sim/world/index.ts';
import type { Fact } from '../events/index.ts';
import type { Rig } from '../rig/index.ts';
import type { SupervisorState } from '../supervisor/index.ts';
import { type Ms, ms } from '../units/index.ts';
import { BuiltIn } from './drill/built-in.ts';
import { VirtualWorld } from './virtual-world.ts';

export interface VirtualOptions {
  readonly seed: number;
  readonly observe: Observe;
  readonly tell: (facts: readonly Fact[]) => void;
  /**
   * The polls of `now` once more each `everyMs`, so many times; false where it cannot say so. Left out, it
   * observes every one.
   */
  readonly repeat?: (now: number, everyMs: number, times: number) => boolean;
}

const MS_PER_S = 1000;

export class VirtualBench {
  readonly #virtual: VirtualWorld;
  readonly #controller: BuiltIn;
  readonly #repeat: VirtualOptions['repeat'];
  /** All lines are polled each so many ms; null where they are not, or counters would not keep step. */
  readonly #everyMs: number | null;

  constructor(rig: Rig, { seed, observe, tell, repeat }: VirtualOptions) {
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
    this.#repeat = repeat;
    const [everyMs = 0, ...others] = new Set(rig.lines.map(({ pollEveryMs }) => pollEveryMs));
    this.#everyMs = others.length === 0 && everyMs % MS_PER_S === 0 ? everyMs : null;
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
    for (const now of this.#virtual.moments(untilMs, dueMs)) {
      this.#controller.wake(now);
      this.#leap(now, untilMs);
    }
  }

  /**
   * Over all but the last of the polls before something may happen: that one is done, so that whatever
   * happens finds everything heard afresh.
   */
  #leap(now: Ms, untilMs: Ms): void {
    if (this.#repeat === undefined || this.#everyMs === null) return;
    const supervisorMs = this.#controller.calmUntilMs(now);
    if (supervisorMs <= now + 2 * this.#everyMs) return;
    const calmMs = Math.min(supervisorMs, calmUntilMs(this.world), untilMs);
    const times = Math.ceil((calmMs - now) / this.#everyMs) - 2;
    if (times < 1 || !this.#repeat(now, this.#everyMs, times)) return;
    const byMs = times * this.#everyMs;
    this.#controller.leap(byMs);
    this.world.commandedUntil(ms(now + byMs));
  }
}
