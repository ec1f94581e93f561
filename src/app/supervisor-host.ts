/** Runs the built-in supervisor, and takes it through its own power cuts as a real one would go. */
import type { Logger } from 'pino';
import type { SupervisorFigures } from '../api/bench-port.ts';
import type { SupervisorSnapshot } from '../api/snapshot-schema.ts';
import type { BenchClock } from '../clock/index.ts';
import type { PowerUp } from '../mitigation/index.ts';
import type { EventRecord } from '../record/index.ts';
import { addressText, type BusAddress, type Rig } from '../rig/index.ts';
import {
  type BusClient,
  busClient,
  type PollSeen,
  planOf,
  Supervisor,
  type SupervisorPlan,
  supervisorSnapshot,
} from '../supervisor/index.ts';
import type { ControllerPower } from './controller-power.ts';
import { NO_PAST, powerUpFrom, recordSince, startReason } from './power-up.ts';
import { tellerTo } from './teller.ts';
import { Turns } from './turns.ts';

export interface SupervisorHostOptions {
  readonly rig: Rig;
  readonly clock: BenchClock;
  readonly record: EventRecord;
  readonly log: Logger;
  /** Told of an error that ended the supervisor. */
  readonly failed: (error: unknown) => void;
  /** Where each line is, in the rig's order. */
  readonly addresses: readonly BusAddress[];
  /** What the record told before this run wrote to it. */
  readonly powerUp: PowerUp;
}

export class SupervisorHost implements ControllerPower {
  readonly #options: SupervisorHostOptions;
  readonly #plan: SupervisorPlan;
  readonly #connected = new Set<string>();
  readonly #pollWatchers: ((poll: PollSeen) => void)[] = [];
  #supervisor: Supervisor | null = null;
  readonly #turns = new Turns();
  /** Sequence of the last fresh start in the record: whatever stood before is of another rig. */
  #since = 0;
  /** Sequence from which the record may speak of this process. */
  readonly #fromSequence: number;

  constructor(options: SupervisorHostOptions) {
    this.#options = options;
    this.#plan = planOf(options.rig);
    this.#fromSequence = options.record.lastSequence() + 1;
    this.#start(options.powerUp, startReason(options.powerUp));
  }

  snapshot(): SupervisorSnapshot | null {
    if (this.#supervisor === null) return null;
    return supervisorSnapshot(this.#plan, this.#supervisor.state, this.#options.clock.now());
  }

  /** Has every poll told, of this supervisor and of those that follow it. */
  watchPolls(told: (poll: PollSeen) => void): void {
    this.#pollWatchers.push(told);
  }

  figures(): SupervisorFigures | null {
    if (this.#supervisor === null) return null;
    const connected = new Map(this.#plan.lines.map(({ id }) => [id, this.#connected.has(id)]));
    return { connected, unstored: this.#supervisor.unstored };
  }

  /** Why it does not serve as it should, a sentence each. */
  troubles(): readonly string[] {
    const lost = this.#plan.lines.map((line) => line.id).filter((line) => !this.#connected.has(line));
    return lost.length === 0 ? [] : [`No connection on line ${lost.join(', ')}.`];
  }

  /** Off ends the supervisor at once, as it stands; on starts another, which knows only what is recorded. */
  set(on: boolean): Promise<void> {
    return this.#turns.take(async () => {
      if (on) this.#startFromRecord();
      else await this.#cut();
    });
  }

  /**
   * A fresh start: ends the supervisor as a power cut does, has `begin` put another world there, and starts
   * one that has no past. `begin` gives the sequence from which the record speaks of it; where it fails, the
   * old world still stands, and the supervisor goes on as after a power cut.
   */
  restart(begin: () => Promise<number>): Promise<void> {
    return this.#turns.take(async () => {
      const wasOn = this.#supervisor !== null;
      await this.#cut();
      try {
        this.#since = await begin();
      } catch (error) {
        if (wasOn) this.#startFromRecord();
        throw error;
      }
      this.#start(NO_PAST, 'the bench was started afresh');
    });
  }

  async close(): Promise<void> {
    await this.#turns.over();
    await this.#supervisor?.stop();
    this.#supervisor = null;
  }

  /** Leaves the equipment safe, because of an error anywhere in the process. */
  async fail(error: unknown): Promise<void> {
    await this.#supervisor?.fail(error);
  }

  async #cut(): Promise<void> {
    await this.#supervisor?.cut();
    this.#supervisor = null;
  }

  #startFromRecord(): void {
    const { record, rig, clock } = this.#options;
    const process = { fromSequence: this.#fromSequence, benchNowMs: clock.now() };
    const powerUp = powerUpFrom(recordSince(record, this.#since), rig.policy, Date.now(), process);
    this.#start(powerUp, startReason(powerUp));
  }

  #start(powerUp: PowerUp, reason: string): void {
    if (this.#supervisor !== null) return;
    const { clock, record, log, failed } = this.#options;
    let fails = false;
    const supervisor = new Supervisor(this.#plan, powerUp, {
      clock,
      buses: this.#plan.lines.map((line, index) => this.#bus(line.id, index)),
      store: (facts) => {
        record.append(facts);
        if (fails) log.warn('the record takes events again');
        fails = false;
      },
      storeFailed: (error) => {
        if (!fails) log.error({ err: error }, 'the record takes nothing; nothing is released until it does');
        fails = true;
      },
      failed,
      polled: (poll) => {
        for (const told of this.#pollWatchers) told(poll);
      },
    });
    const state = supervisor.state.mitigation.phase.kind;
    this.#supervisor = supervisor;
    supervisor.tell({ id: 'supervisor.started', atMs: clock.now(), fields: { state, reason } });
  }

  #bus(line: string, index: number): BusClient {
    const { addresses, record, clock, log } = this.#options;
    const address = addresses[index];
    if (address === undefined) throw new Error(`line ${line} has no address`);
    const where = addressText(address);
    let wasLost = false;
    const tell = tellerTo(record, log);
    return busClient(address, {
      connected: () => {
        this.#connected.add(line);
        log.debug({ line, where }, 'connected');
        if (!wasLost) return;
        wasLost = false;
        tell([{ id: 'line.connected', atMs: clock.now(), fields: { line, address: where } }]);
      },
      // After a time-out or a mismatch that is the guard at work.
      dropped: (reason) => {
        log.debug({ line, where, reason }, 'connection dropped');
        this.#connected.delete(line);
      },
      unreachable: (reason) => {
        log.debug({ line, where, reason }, 'no connection');
        if (wasLost) return;
        wasLost = true;
        tell([{ id: 'line.lost', atMs: clock.now(), fields: { line, address: where, reason } }]);
      },
    });
  }
}
