/** Observations of the world, folded into the trace that a judge reads. */
import { decodeResponse, EXCEPTION_FLAG, sameBytes } from '../../src/modbus/index.ts';
import type { Rig } from '../../src/rig/index.ts';
import type { Answer, Change, SensorTrace, Trace } from '../judge/trace.ts';
import type { Observation } from '../world/observation.ts';
import { FieldIoSilence } from './field-io-silence.ts';
import { answerOf, concerns, type Listened } from './heard-of.ts';
import { isInLimits } from './in-limits.ts';
import { type AskingRequest, readOf } from './read-of.ts';
import { later, roundOf } from './round.ts';

/** A sensor, or the field I/O with all its contacts, at one address of a line. */
interface Asked {
  readonly sensors: readonly Kept[];
  /** The read that is out; null between two, and for anything but a read. */
  out: AskingRequest | null;
  /** Those of the sensors that it brings something of. */
  concerned: readonly Kept[];
  /** What the device itself said, where a wire could have spoilt it. */
  said: Uint8Array | undefined;
  /** null for a sensor. */
  readonly silence: FieldIoSilence | null;
}

interface Kept extends Listened {
  readonly requests: { atMs: number; answer: Answer | null; stateless?: true }[];
  readonly gas: Change<number>[];
  readonly faults: Set<string>;
  readonly inLimits: boolean;
  readonly sound: Change<boolean>[];
  readonly powered: Change<boolean>[];
}

export class TraceRecorder {
  readonly #startMs: number;
  readonly #asksItself: boolean;
  readonly #sensors = new Map<string, Kept>();
  readonly #byAddress = new Map<string, Map<number, Asked>>();
  readonly #commands = new Map<string, boolean>();
  readonly #outputs = new Map<string, Change<boolean>[]>();
  readonly #inputs = new Map<string, Change<boolean>[]>();
  readonly #cut = new Set<string>();
  readonly #rigPower: Change<boolean>[];
  readonly #controllerPower: Change<boolean>[];
  readonly #fieldIoSilence: FieldIoSilence;
  readonly #commandsLost: Change<boolean>[];
  readonly #watchdogHolds: Change<boolean>[];

  constructor(rig: Rig, options: { readonly startMs: number; readonly asksItself: boolean }) {
    this.#startMs = options.startMs;
    this.#asksItself = options.asksItself;
    this.#fieldIoSilence = new FieldIoSilence(rig);
    const on = (): Change<boolean>[] => [{ atMs: options.startMs, value: true }];
    [this.#rigPower, this.#controllerPower] = [on(), on()];
    this.#commandsLost = [{ atMs: options.startMs, value: false }];
    this.#watchdogHolds = [{ atMs: options.startMs, value: false }];
    for (const plan of rig.sensors) {
      const gas = [{ atMs: options.startMs, value: 0 }];
      const inLimits = isInLimits(plan, rig.policy);
      const kept = {
        plan,
        requests: [],
        gas,
        faults: new Set<string>(),
        inLimits,
        sound: [{ atMs: options.startMs, value: inLimits }],
        powered: on(),
        known: null,
      };
      this.#sensors.set(plan.id, kept);
      if (plan.kind === 'modbus') this.#at(plan.line, plan.unitId, [kept], null);
    }
    const contacts = [...this.#sensors.values()].filter(({ plan }) => plan.kind === 'contact');
    this.#at(rig.fieldIo.line, rig.fieldIo.unitId, contacts, this.#fieldIoSilence);
    const compressors = rig.circuits.map((circuit) => `compressor.${circuit}`);
    const heat = rig.heat ? ['heat'] : [];
    for (const output of ['fan', 'damper', ...heat, 'alarm', 'trouble', ...compressors]) {
      this.#commands.set(output, false);
      this.#outputs.set(output, [{ atMs: options.startMs, value: false }]);
    }
    for (const input of ['airflow', 'fire', 'serviceReset', 'call.cooling', 'call.heating', 'call.fan']) {
      this.#inputs.set(input, [{ atMs: options.startMs, value: false }]);
    }
  }

  /** Hand this to the world as its observer. */
  readonly observe = (seen: Observation): void => {
    switch (seen.kind) {
      case 'asked':
        this.#asked(seen);
        break;
      case 'answered':
        this.#answered(seen);
        break;
      case 'gas':
        this.#sensors.get(seen.sensor)?.gas.push({ atMs: seen.atMs, value: seen.percentLfl });
        break;
      case 'command':
        this.#commands.set(seen.output, seen.on);
        this.#inForce(seen.output, seen.atMs);
        break;
      case 'watchdog':
        put(this.#watchdogHolds, seen.atMs, seen.expired);
        put(this.#commandsLost, seen.atMs, seen.expired && this.#fieldIoSilence.hasLost(seen.atMs));
        for (const output of this.#commands.keys()) this.#inForce(output, seen.atMs);
        break;
      case 'input':
        put(this.#inputs.get(seen.input), seen.atMs, seen.on);
        break;
      case 'fault':
        this.#fault(seen);
        break;
      case 'power':
        this.#power(seen);
        break;
      case 'sent':
        this.#sent(seen);
        break;
      case 'waits':
      case 'terminal':
      case 'release':
      case 'testGas':
        break;
    }
  };

  /** The trace up to `endMs`; what is observed later is no part of it. */
  finish(endMs: number): Trace {
    const signals = (all: ReadonlyMap<string, readonly Change<boolean>[]>) =>
      new Map([...all].map(([name, changes]) => [name, until(changes, endMs)]));
    return {
      startMs: this.#startMs,
      endMs,
      sensors: [...this.#sensors.values()].map((kept) => sensorTrace(kept, endMs)),
      outputs: signals(this.#outputs),
      inputs: signals(this.#inputs),
      watchdogHolds: until(this.#watchdogHolds, endMs),
      rigPower: until(this.#rigPower, endMs),
      controllerPower: until(this.#controllerPower, endMs),
      fieldIoAnswers: until(this.#fieldIoSilence.answers(this.#startMs, endMs), endMs),
      fieldIoOwes: until(this.#fieldIoSilence.owes(this.#startMs, endMs), endMs),
      commandsLost: until(this.#commandsLost, endMs),
      asksItself: this.#asksItself,
    };
  }

  #at(line: string, unitId: number, sensors: readonly Kept[], silence: FieldIoSilence | null): void {
    const units = this.#byAddress.get(line) ?? new Map<number, Asked>();
    units.set(unitId, { sensors, out: null, concerned: [], said: undefined, silence });
    this.#byAddress.set(line, units);
  }

  /**
   * What was asked at `now`, and answered, once more each `everyMs`, so many times: nothing else happens
   * meanwhile. False, and nothing is done, where the last round was not answered throughout.
   */
  readonly repeat = (now: number, everyMs: number, times: number): boolean => {
    const rounds = [...this.#sensors.values()].map(({ requests }) => ({
      requests,
      round: roundOf(requests, now, everyMs),
    }));
    if (rounds.some(({ round }) => round === null)) return false;
    for (const { requests, round } of rounds) {
      for (let time = 1; time <= times; time += 1) {
        for (const request of round ?? []) requests.push(later(request, time * everyMs));
      }
    }
    return true;
  };

  #asked({ line, unitId, pdu, atMs }: Extract<Observation, { kind: 'asked' }>): void {
    const asked = this.#byAddress.get(line)?.get(unitId);
    if (asked === undefined) return;
    asked.said = undefined;
    asked.silence?.asked(pdu[0] ?? 0, atMs);
    const read = readOf(pdu);
    asked.out = read;
    asked.concerned = read === null ? [] : asked.sensors.filter((kept) => concerns(read, kept));
    for (const { requests } of asked.concerned) requests.push({ atMs, answer: null });
  }

  /** A refusal of its own is an answer as well: what is asked wrongly, nobody kept from being heard. */
  #sent({ line, unitId, exception, reply, atMs }: Extract<Observation, { kind: 'sent' }>): void {
    const asked = this.#byAddress.get(line)?.get(unitId);
    if (asked === undefined || reply === null) return;
    asked.said = reply;
    const code = reply[0] ?? 0;
    if (exception !== null && code >= EXCEPTION_FLAG) asked.silence?.answered(code ^ EXCEPTION_FLAG, atMs);
  }

  #answered({ line, unitId, pdu, atMs, heardAtMs }: Extract<Observation, { kind: 'answered' }>): void {
    const asked = this.#byAddress.get(line)?.get(unitId);
    if (asked === undefined) return;
    // What another device says at its address, as a drill can have it, is no word of the field I/O.
    const isOwn = asked.said === undefined || sameBytes(pdu, asked.said);
    if (isOwn) asked.silence?.answered((pdu[0] ?? 0) & ~EXCEPTION_FLAG, atMs);
    const { out } = asked;
    if (out === null) return;
    asked.out = null;
    if (asked.concerned.length === 0) return;
    const response = decodeResponse(pdu, out);
    if (response.kind !== 'read' && response.kind !== 'readWrite') return;
    for (const kept of asked.concerned) {
      const last = kept.requests.at(-1);
      // Who asks in the controller's place hands on all that comes within the time-out as of the asking.
      const heardMs = this.#asksItself ? atMs : heardAtMs;
      const answer = answerOf(kept, out, response.values, heardMs);
      if (last !== undefined) Object.assign(last, answer === null ? { stateless: true } : { answer });
    }
  }

  /** What the watchdog does while it holds the outputs: air moves, nothing else runs (see the field I/O). */
  #inForce(output: string, atMs: number): void {
    const commanded = this.#commands.get(output) === true;
    const isLamp = output === 'alarm' || output === 'trouble';
    const held = output === 'fan' || output === 'damper';
    put(
      this.#outputs.get(output),
      atMs,
      this.#watchdogHolds.at(-1)?.value === true && !isLamp ? held : commanded,
    );
  }

  #fault({ in: subject, fault, on, atMs }: Extract<Observation, { kind: 'fault' }>): void {
    const twin = fault.kind === 'swapped' ? [fault.parameters.with] : [];
    for (const id of [subject, ...twin]) {
      const kept = this.#sensors.get(id);
      if (kept === undefined) continue;
      if (on) kept.faults.add(fault.kind);
      else kept.faults.delete(fault.kind);
      this.#state(kept, atMs);
    }
  }

  #power({ to, on, atMs }: Extract<Observation, { kind: 'power' }>): void {
    if (on) this.#cut.delete(to);
    else this.#cut.add(to);
    put(this.#rigPower, atMs, !this.#cut.has('rig'));
    if (to === 'rig') this.#forget(atMs);
    const controllerOn = !this.#cut.has('controller') && !this.#cut.has('rig');
    const wasOn = this.#controllerPower.at(-1)?.value;
    put(this.#controllerPower, atMs, controllerOn);
    for (const kept of this.#sensors.values()) {
      // A controller that was without power has forgotten what it read.
      if (wasOn !== controllerOn) kept.known = null;
      this.#state(kept, atMs);
    }
  }

  /** A field I/O that loses or gets its supply has forgotten its commands. */
  #forget(atMs: number): void {
    put(this.#watchdogHolds, atMs, false);
    put(this.#commandsLost, atMs, false);
    for (const output of this.#commands.keys()) {
      this.#commands.set(output, false);
      this.#inForce(output, atMs);
    }
  }

  #state(kept: Kept, atMs: number): void {
    const supplied = !this.#cut.has(kept.plan.id) && !kept.faults.has('no-power');
    put(kept.sound, atMs, supplied && kept.inLimits && kept.faults.size === 0);
    put(kept.powered, atMs, supplied && !this.#cut.has('rig'));
  }
}

function put<Value>(changes: Change<Value>[] | undefined, atMs: number, value: Value): void {
  if (changes === undefined || changes.at(-1)?.value === value) return;
  changes.push({ atMs, value });
}

function until<Moment extends { readonly atMs: number }>(all: readonly Moment[], endMs: number): Moment[] {
  return all.filter(({ atMs }) => atMs <= endMs);
}

function sensorTrace({ plan, requests, gas, sound, powered }: Kept, endMs: number): SensorTrace {
  const tellsSerial = plan.kind === 'modbus' && plan.codec.profile.points.serial !== undefined;
  return {
    id: plan.id,
    kind: plan.kind,
    serial: tellsSerial ? (plan.serial ?? null) : null,
    requests: until(requests, endMs),
    gas: until(gas, endMs),
    sound: until(sound, endMs),
    powered: until(powered, endMs),
  };
}
