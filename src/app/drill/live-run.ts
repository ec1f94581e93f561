/**
 * A drill over real sockets, at a speed of the clock: the built-in supervisor polls, or someone else does.
 *
 * A drill begins with the power-up of the whole rig. Its time stands still until the controller is there; an
 * outside one is there with its first request, and has missed nothing.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Logger } from 'pino';
import type { Drill } from '../../../sim/drill/drill.ts';
import { PollFold } from '../../../sim/poll-report/index.ts';
import { LiveWorld, type Observation, World } from '../../../sim/world/index.ts';
import { type BenchClock, benchClock } from '../../clock/index.ts';
import type { Fact } from '../../events/index.ts';
import { type EventRecord, openRecord } from '../../record/index.ts';
import { addressText, type BusAddress } from '../../rig/index.ts';
import { formatDuration } from '../../units/index.ts';
import { type ControllerPower, powerByCommand } from '../controller-power.ts';
import { listenOnLines, mustBeSupervised, supervisedAddresses } from '../listening.ts';
import { PowerSwitch } from '../power-switch.ts';
import { powerUpFrom } from '../power-up.ts';
import { serviceDaysLeft } from '../service-life.ts';
import { EXIT, Stop } from '../stop.ts';
import { SupervisorHost } from '../supervisor-host.ts';
import { DrillPlay } from './play.ts';
import type { DrillRun } from './run.ts';

export interface LiveOptions {
  readonly seed: number;
  readonly speed: number;
  /** By line, where it listens in place of what the rig says. */
  readonly bus: ReadonlyMap<string, BusAddress>;
  readonly controller: 'builtin' | 'external';
  readonly controllerPower: string | undefined;
  /** Of real time, in which an external controller must ask something. */
  readonly waitMs: number;
  readonly log: Logger;
  /** Told once the lines listen, with their addresses. */
  readonly listening: (addresses: readonly string[]) => void;
}

export async function runLive(drill: Drill, options: LiveOptions): Promise<DrillRun> {
  const live = new LiveDrill(drill, options);
  try {
    return await live.run();
  } finally {
    await live.close();
  }
}

class LiveDrill {
  readonly #drill: Drill;
  readonly #options: LiveOptions;
  readonly #clock: BenchClock;
  readonly #play: DrillPlay;
  /** null for the built-in supervisor, which needs no advice. */
  readonly #polls: PollFold | null;
  readonly #power: PowerSwitch;
  readonly #live: LiveWorld;
  readonly #facts: Fact[] = [];
  /** Why the supervisor could not be judged to the end. */
  readonly #trouble: string[] = [];
  readonly #closers: (() => unknown)[] = [];
  #heard: () => void = () => undefined;

  constructor(drill: Drill, options: LiveOptions) {
    this.#drill = drill;
    this.#options = options;
    this.#clock = benchClock(options.speed);
    this.#clock.set({ paused: true });
    const startMs = this.#clock.now();
    this.#polls = options.controller === 'external' ? new PollFold(drill.rig) : null;
    this.#play = new DrillPlay(drill, startMs, {
      clock: this.#clock,
      apply: (step) => this.#live.apply(step),
      catchUp: () => void this.#live.picture(),
      canSwitch: () => this.#power.controller !== null,
    });
    this.#power = new PowerSwitch((error) => {
      this.#play.leftOut.push('the power of the controller could not be switched; the log says why');
      options.log.error({ err: error }, 'the power of the controller could not be switched');
    });
    const world = new World(drill.rig, {
      seed: options.seed,
      startMs,
      serviceDaysLeft: (sensor) => serviceDaysLeft(sensor, null),
      observe: this.#observe,
    });
    this.#live = new LiveWorld(world, this.#clock);
    this.#closers.push(
      () => {
        this.#clock.stop();
      },
      () => this.#live.close(),
    );
  }

  async run(): Promise<DrillRun> {
    await this.#startController();
    const played = this.#play.play();
    this.#clock.set({ paused: false });
    const trace = await played;
    if (trace === null) throw new Error('nobody stops a live drill');
    const { leftOut } = this.#play;
    const pollReport = this.#polls?.report(this.#clock.now(), this.#live.thrownAway()) ?? null;
    const { heldUp } = this.#play;
    return { trace, facts: this.#facts, trouble: this.#trouble, leftOut, pollReport, heldUp };
  }

  async close(): Promise<void> {
    for (const close of this.#closers.reverse()) await close();
  }

  readonly #observe = (seen: Observation): void => {
    this.#play.observe(seen);
    this.#polls?.observe(seen);
    if (seen.kind === 'asked') this.#heard();
    if (seen.kind === 'power') this.#power.changed(seen.to, seen.on);
  };

  async #listen(): Promise<void> {
    const { rig } = this.#drill;
    const { bus, listening, controller } = this.#options;
    if (controller === 'builtin') mustBeSupervised(rig, bus);
    await listenOnLines(this.#live, rig, bus);
    listening(this.#live.addresses.map(({ line, address }) => `${line} ${addressText(address)}`));
  }

  /** The lines are open from here on. */
  async #startController(): Promise<void> {
    if (this.#options.controller === 'builtin') {
      await this.#listen();
      this.#power.controller = this.#builtIn();
      return;
    }
    const power = this.#powerCommand();
    this.#power.controller = power;
    // What it remembers of an earlier drill is not of this one, and nor is what it asks until it is off.
    await power?.set(false);
    try {
      await this.#listen();
    } finally {
      // Where no line could be opened, nobody else would switch it on again.
      void power?.set(true);
    }
    await this.#firstRequest();
  }

  #builtIn(): SupervisorHost {
    const { rig } = this.#drill;
    const { log } = this.#options;
    const folder = mkdtempSync(join(tmpdir(), 'leakbench-drill-'));
    const onDisk = openRecord({ folder, rigName: rig.name });
    const record: EventRecord = {
      ...onDisk,
      append: (facts) => {
        this.#facts.push(...facts);
        return onDisk.append(facts);
      },
    };
    const addresses = supervisedAddresses(rig, this.#live);
    const powerUp = powerUpFrom(record, rig.policy, Date.now());
    const failed = (error: unknown): void => {
      log.fatal({ err: error }, 'the supervisor ended on an error of its own');
      this.#trouble.push('the supervisor ended on an error of its own: the log says which');
    };
    const host = new SupervisorHost({ rig, clock: this.#clock, record, log, addresses, powerUp, failed });
    this.#closers.push(
      () => {
        onDisk.close();
        rmSync(folder, { recursive: true });
      },
      () => host.close(),
    );
    return host;
  }

  #powerCommand(): ControllerPower | null {
    const { controllerPower, log } = this.#options;
    if (controllerPower === undefined) return null;
    const power = powerByCommand(controllerPower, (reason) => {
      this.#play.leftOut.push(`the command that switches the controller failed: ${reason}`);
      log.error({ reason }, 'the command that switches the controller failed');
    });
    this.#closers.push(() => power.close());
    return power;
  }

  #firstRequest(): Promise<void> {
    const { waitMs } = this.#options;
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => {
        const where = this.#live.addresses.map(({ address }) => addressText(address)).join(' or ');
        const waited = `no controller has asked anything on ${where} within ${formatDuration(waitMs)}`;
        const message = `${waited}; point it there, or give it longer with --wait`;
        reject(new Stop(EXIT.surroundings, message));
      }, waitMs);
      this.#heard = () => {
        clearTimeout(timer);
        resolve();
      };
    });
  }
}
