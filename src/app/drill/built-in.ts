/** The built-in supervisor as the controller of a virtual bench, with its power and what it remembers. */
import type { Fact } from '../../events/index.ts';
import type { Rig } from '../../rig/index.ts';
import {
  planOf,
  type SupervisorPlan,
  type SupervisorState,
  VirtualSupervisor,
  type VirtualWire,
} from '../../supervisor/index.ts';
import { type Ms, ms } from '../../units/index.ts';
import { startReason } from '../power-up.ts';
import { Memory } from './memory.ts';

export class BuiltIn {
  readonly #rig: Rig;
  readonly #plan: SupervisorPlan;
  readonly #wire: VirtualWire;
  readonly #tell: (facts: readonly Fact[]) => void;
  readonly #memory: Memory;
  #supervisor: VirtualSupervisor | null = null;

  /** Powered from the start. */
  constructor(rig: Rig, wire: VirtualWire, tell: (facts: readonly Fact[]) => void) {
    this.#rig = rig;
    this.#plan = planOf(rig);
    this.#wire = wire;
    this.#memory = new Memory(rig.name);
    this.#tell = (facts) => {
      this.#memory.keep(facts);
      tell(facts);
    };
    this.power(true, ms(0));
  }

  /** null while it has no power. */
  get state(): SupervisorState | null {
    return this.#supervisor?.state ?? null;
  }

  nextDueMs(): number {
    return this.#supervisor?.nextDueMs() ?? Number.POSITIVE_INFINITY;
  }

  wake(now: Ms): void {
    this.#supervisor?.wake(now);
  }

  calmUntilMs(now: Ms): number {
    return this.#supervisor?.calmUntilMs(now) ?? Number.NEGATIVE_INFINITY;
  }

  leap(byMs: number): void {
    this.#supervisor?.leap(byMs);
  }

  /** A cut ends it as it stands; what begins again knows what was on record. */
  power(on: boolean, now: Ms): void {
    this.#supervisor = null;
    if (!on) return;
    const powerUp = this.#memory.powerUp(this.#rig.policy, now);
    this.#supervisor = new VirtualSupervisor(this.#plan, powerUp, this.#wire, this.#tell, now);
    const state = this.#supervisor.state.mitigation.phase.kind;
    const reason = startReason(powerUp);
    this.#tell([{ id: 'supervisor.started', atMs: now, fields: { state, reason } }]);
  }
}
