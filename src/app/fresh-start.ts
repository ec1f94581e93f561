/**
 * A fresh start of the bench: another world in place of the one that stood there, and the controller at its
 * power-up, while faces stay open and bench time goes on.
 *
 * The old controller ends first, so that no command of it reaches the new world, and it ends as by a power
 * cut: no orderly stop is recorded. Whoever starts the process again after a kill in the middle finds a
 * record that shows none, and begins in the hold; so it does where the kill comes later.
 */
import type { BenchClock } from '../clock/index.ts';
import type { EventRecord } from '../record/index.ts';
import type { ControllerPower } from './controller-power.ts';
import type { PowerSwitch } from './power-switch.ts';
import type { Today } from './service-life.ts';
import type { Stage, Watch } from './stage.ts';
import type { SupervisorHost } from './supervisor-host.ts';
import { Turns } from './turns.ts';

export interface FreshStartParts {
  readonly stage: Stage;
  readonly record: EventRecord;
  readonly clock: BenchClock;
  readonly power: PowerSwitch;
  /** Takes what was seen of the old world into the record. */
  readonly flush: () => void;
  /** null where the controller runs elsewhere. */
  readonly supervisor: SupervisorHost | null;
  /** null where nobody here can switch it. */
  readonly controllerPower: ControllerPower | null;
}

export class FreshStart {
  /** Called before anything else: whatever goes on with the old world ends here. */
  ending: () => void = () => undefined;
  readonly #parts: FreshStartParts;
  readonly #turns = new Turns();

  constructor(parts: FreshStartParts) {
    this.#parts = parts;
  }

  /** One after the other, however many ask at once. Rejects where it could not be recorded. */
  run(reason: string, todayMs: Today, watch: Watch): Promise<void> {
    return this.#turns.take(() => this.#one(reason, todayMs, watch));
  }

  async #one(reason: string, todayMs: Today, watch: Watch): Promise<void> {
    const { supervisor, controllerPower } = this.#parts;
    this.ending();
    if (supervisor !== null) {
      await supervisor.restart(async () => {
        await linesRead();
        return this.#begin(reason, todayMs, watch);
      });
      return;
    }
    await controllerPower?.set(false);
    await linesRead();
    try {
      this.#begin(reason, todayMs, watch);
    } finally {
      // Where it could not be recorded the old world goes on, and its controller with it.
      await controllerPower?.set(true);
    }
  }

  /** The sequence from which the record speaks of the new world. */
  #begin(reason: string, todayMs: Today, watch: Watch): number {
    const { stage, record, clock, power, flush } = this.#parts;
    flush();
    const [reset] = record.append([{ id: 'bench.reset', atMs: clock.now(), fields: { reason } }]);
    power.reset();
    stage.begin(todayMs, watch);
    return reset?.sequence ?? record.lastSequence();
  }
}

/**
 * What the old controller sent last lies in the sockets of its lines: they are read within a turn of the
 * event loop, and it goes to the old world.
 */
async function linesRead(): Promise<void> {
  for (let turn = 0; turn < 2; turn += 1) await new Promise((resolve) => setImmediate(resolve));
}
