/** Situations as short as a test wants to write them, and a machine that is led through them. */
import type { PlantInputs } from '../../../src/belief/index.ts';
import type { Fact } from '../../../src/events/index.ts';
import {
  becauseOf,
  type MitigationPolicy,
  type MitigationState,
  type Output,
  type PowerUp,
  powerUpState,
  type SensorSituation,
  type Situation,
  stepMitigation,
} from '../../../src/mitigation/index.ts';
import { type Ms, ms, percentLfl } from '../../../src/units/index.ts';

export const MINUTE = 60_000;

const POLICY: MitigationPolicy = {
  circuits: ['a', 'b'],
  heat: true,
  setpoint: percentLfl(20),
  clearBelow: percentLfl(18),
  holdMs: ms(5 * MINUTE),
  fanProofWithinMs: ms(10_000),
  compressorMinOffMs: ms(3 * MINUTE),
  latchAfter: null,
};

/** What belief may have settled of one sensor. */
const SENSOR_KINDS = {
  well: {},
  /** At or above the setpoint as of the last answer. */
  gas: { findings: ['gas'], gasNow: true, gasPercentLfl: 30 },
  /** It was gas, and is not yet below the clearing level. */
  lingering: { findings: ['gas'], gasPercentLfl: 19 },
  contradiction: { findings: ['contradiction'], gasNow: true, gasPercentLfl: 30 },
  silent: { findings: ['silent'], silentSinceMs: ms(0) },
  selfFailed: { findings: ['selfFailed'], gasPercentLfl: null },
  frozen: { findings: ['frozen'] },
  invalid: { findings: ['invalid'], gasPercentLfl: null },
  stranger: { findings: ['stranger'] },
  untested: { passed: false },
  /** Below the setpoint and never at it, above the clearing level. */
  high: { gasPercentLfl: 19 },
} as const satisfies Readonly<Record<string, Partial<SensorSituation>>>;

export type SensorKind = keyof typeof SENSOR_KINDS;

/** A sensor of a kind; a well one was heard at `wellAtMs`. */
function sensorOf(id: string, kind: SensorKind, wellAtMs: Ms): SensorSituation {
  return {
    id,
    findings: [],
    gasNow: false,
    passed: true,
    wellAtMs: kind === 'well' ? wellAtMs : null,
    gasPercentLfl: 0,
    silentSinceMs: null,
    ...SENSOR_KINDS[kind],
  };
}

export interface Surroundings {
  sensors: Record<string, SensorKind>;
  calls: { cooling: boolean; heating: boolean; fan: boolean };
  /** `follows` the fan command of the step before. */
  airflow: 'follows' | boolean;
  serviceReset: boolean;
  fire: boolean;
  /** False as long as the field I/O has never answered. */
  everHeard: boolean;
  /** Since when the field I/O has not been heard; null while it is. */
  silentSinceMs: Ms | null;
  overwritten: boolean;
  untakenSinceMs: Ms | null;
  /** No new reading comes: sensors were well when they were last heard. */
  readingsStand: boolean;
  /** No new inputs come, and not for long enough yet to be a silence. */
  inputsStand: boolean;
  /** Circuits that run whatever is commanded. */
  welded: readonly number[];
  /** Whether writes reach the field I/O. */
  writes: 'taken' | 'lost';
  recordWorks: boolean;
}

const CALM: Surroundings = {
  sensors: { 'coil-a': 'well', 'coil-b': 'well' },
  calls: { cooling: false, heating: false, fan: false },
  airflow: 'follows',
  serviceReset: false,
  fire: false,
  everHeard: true,
  silentSinceMs: null,
  overwritten: false,
  untakenSinceMs: null,
  readingsStand: false,
  inputsStand: false,
  welded: [],
  writes: 'taken',
  recordWorks: true,
};

const NEW_RIG: PowerUp = { record: 'empty', tripAgesMs: [], tripCounted: false };

export const COOLING = { cooling: true, heating: false, fan: false };
export const HEATING = { cooling: false, heating: true, fan: false };
export const FAN = { cooling: false, heating: false, fan: true };
export const NO_CALL = { cooling: false, heating: false, fan: false };

/** A machine led through time; a change of its surroundings stays until it is changed again. */
export class Lead {
  readonly policy: MitigationPolicy;
  readonly around: Surroundings;
  readonly facts: Fact[] = [];
  state: MitigationState;
  nowMs = ms(0);
  #offSinceMs: (Ms | null)[];
  #readAtMs = ms(0);
  #provenAtMs: Ms | null = null;

  constructor(policy: Partial<MitigationPolicy> = {}, powerUp: Partial<PowerUp> = {}) {
    this.policy = { ...POLICY, ...policy };
    this.around = { ...CALM, sensors: { ...CALM.sensors } };
    this.state = powerUpState(this.policy.circuits.length, { ...NEW_RIG, ...powerUp }, this.nowMs);
    this.#offSinceMs = this.policy.circuits.map(() => null);
  }

  /** Steps at `atMs`; a release is recorded at once where the record works. */
  at(atMs: number, changes: Partial<Surroundings> = {}): this {
    this.nowMs = ms(atMs);
    Object.assign(this.around, changes);
    if (!this.around.readingsStand) this.#readAtMs = this.nowMs;
    const situation = this.situation();
    const step = stepMitigation(this.state, situation, this.policy, this.nowMs);
    this.#take(step.state, step.facts);
    if (step.release === null || !this.around.recordWorks) return this;
    this.facts.push(step.release);
    const released = stepMitigation(this.state, situation, this.policy, this.nowMs, true);
    this.#take(released.state, released.facts);
    return this;
  }

  /** Steps every `everyMs` from now on, up to and with `untilMs`. */
  until(untilMs: number, changes: Partial<Surroundings> = {}, everyMs = 1000): this {
    Object.assign(this.around, changes);
    for (let atMs = this.nowMs + everyMs; atMs < untilMs; atMs += everyMs) this.at(atMs);
    return this.at(untilMs);
  }

  /** From power-up to both compressors running. */
  cooling(): this {
    return this.at(0, { calls: COOLING }).until(30_000);
  }

  get phase(): string {
    return this.state.phase.kind;
  }

  because(output: Output): readonly string[] {
    return becauseOf(this.state, output, this.situation(), this.policy, this.nowMs);
  }

  /** Fan on, dampers open, compressors and heat off. */
  get mitigates(): boolean {
    const { fan, damper } = this.state.commands;
    return fan && damper && this.stopped;
  }

  get stopped(): boolean {
    const { heat, compressors } = this.state.commands;
    return !heat && compressors.every((on) => !on);
  }

  situation(): Situation {
    const { around, state } = this;
    const { silentSinceMs, airflow, welded } = around;
    const inputs: PlantInputs = {
      calls: around.calls,
      airflow: airflow === 'follows' ? state.commands.fan : airflow,
      serviceReset: around.serviceReset,
      fire: around.fire,
      contactClosed: {},
      compressorRunning: state.commands.compressors.map((on, circuit) => on || welded.includes(circuit)),
    };
    const isHeard = around.everHeard && silentSinceMs === null;
    if (isHeard && inputs.airflow && !around.inputsStand) this.#provenAtMs = this.nowMs;
    return {
      sensors: Object.entries(around.sensors).map(([id, kind]) => sensorOf(id, kind, this.#readAtMs)),
      plant: {
        heard: isHeard,
        silentSinceMs,
        inputs: around.everHeard ? inputs : null,
        airflowProvenAtMs: this.#provenAtMs,
        overwritten: around.overwritten,
        untakenSinceMs: around.untakenSinceMs,
        compressorOffSinceMs: this.#offSinceMs,
      },
    };
  }

  #take(state: MitigationState, facts: readonly Fact[]): void {
    this.state = state;
    this.facts.push(...facts);
    const taken = this.around.writes === 'taken';
    this.#offSinceMs = state.commands.compressors.map((on, circuit) =>
      on ? null : (this.#offSinceMs[circuit] ?? (taken ? this.nowMs : null)),
    );
  }
}
