/**
 * One run of a drill at a clock: its steps at their moments, its trace, and what was left out. It serves the
 * live host, which makes a bench for each drill, and the bench on which a drill is played in place.
 */
import type { Drill } from '../../../sim/drill/drill.ts';
import { fromStart } from '../../../sim/drill/from-start.ts';
import type { Step } from '../../../sim/drill/step.ts';
import { TraceRecorder } from '../../../sim/drill/trace-recorder.ts';
import type { Trace } from '../../../sim/judge/trace.ts';
import type { Observation } from '../../../sim/world/index.ts';
import type { BenchClock } from '../../clock/index.ts';
import { type Ms, ms } from '../../units/index.ts';
import { HeldUp } from '../held-up.ts';
import { refusalNote } from './run.ts';

export interface Surroundings {
  readonly clock: BenchClock;
  /** Carries a step out now, or says in a sentence why not. */
  readonly apply: (step: Step) => string | null;
  /** Brings the world up to now. */
  readonly catchUp: () => void;
  /** Whether somebody here switches the controller's power. */
  readonly canSwitch: () => boolean;
  /** Told of each step as its moment comes, before it is carried out or left out. */
  readonly stepComes?: (step: Step) => void;
}

export class DrillPlay {
  readonly drill: Drill;
  readonly startMs: Ms;
  /** What the drill asks for and nobody did, each with the reason. */
  readonly leftOut: string[] = [];
  readonly #around: Surroundings;
  readonly #recorder: TraceRecorder;
  readonly #machine = new HeldUp();
  #heldUp: string | null = null;
  #stepsDone = 0;
  #stopped = false;
  #wake: () => void = () => undefined;

  /** `startMs`: the moment at which the world began, and with it the drill. */
  constructor(drill: Drill, startMs: Ms, around: Surroundings) {
    this.drill = drill;
    this.startMs = startMs;
    this.#around = around;
    this.#recorder = new TraceRecorder(drill.rig, { startMs: 0, asksItself: false });
  }

  /** How late the machine itself was, once the drill is at its end; null where it was not. */
  get heldUp(): string | null {
    return this.#heldUp;
  }

  get stepsDone(): number {
    return this.#stepsDone;
  }

  /** Hand this to the world as its observer, from its first moment on. */
  readonly observe = (seen: Observation): void => {
    if (!this.#stopped) this.#recorder.observe(fromStart(seen, this.startMs));
  };

  /** Resolves at the drill's end with its trace, or with null once it was stopped. */
  async play(): Promise<Trace | null> {
    const { calls, steps, lengthMs } = this.drill;
    this.#machine.begin();
    this.#around.apply({ kind: 'call', calls });
    for (const { atMs, step } of steps) {
      await this.#reached(atMs);
      if (this.#stopped) return null;
      this.#carryOut(atMs, step);
    }
    await this.#reached(lengthMs);
    if (this.#stopped) return null;
    // The world's last changes belong to the trace.
    this.#around.catchUp();
    const trace = this.#recorder.finish(lengthMs);
    this.stop();
    return trace;
  }

  /** No further step is carried out, and nothing more is traced. */
  stop(): void {
    if (!this.#stopped) this.#heldUp = this.#machine.end(this.#around.clock.speed());
    this.#stopped = true;
    this.#wake();
  }

  #carryOut(atMs: Ms, step: Step): void {
    this.#around.stepComes?.(step);
    const problem = this.#outOfReach(step) ?? this.#around.apply(step);
    if (problem !== null) this.leftOut.push(refusalNote(atMs, problem));
    this.#stepsDone += 1;
  }

  /** A step that this process cannot carry out, in a sentence. */
  #outOfReach(step: Step): string | null {
    const cuts = step.kind === 'cutPower' || step.kind === 'restorePower';
    if (!cuts || this.#around.canSwitch()) return null;
    if (step.to !== 'controller' && step.to !== 'rig') return null;
    return 'skipped, since nothing here switches the controller; give --controller-power COMMAND';
  }

  #reached(atMs: Ms): Promise<void> {
    return new Promise((resolve) => {
      const takeBack = this.#around.clock.at(ms(this.startMs + atMs), resolve);
      this.#wake = () => {
        takeBack();
        resolve();
      };
    });
  }
}
