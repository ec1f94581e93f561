/**
 * Surroundings of the live supervisor in virtual time, every part of which may fail: clock and timers, the bus,
 * the record. The code in the middle is the shell that runs live; only what it is handed is ours.
 */
import type { BenchClock } from '../../src/clock/index.ts';
import type { Fact } from '../../src/events/index.ts';
import type { TableRequest } from '../../src/modbus/index.ts';
import type { Outcome } from '../../src/poll/index.ts';
import { COILS, COMPRESSOR_COIL_FIRST, INPUTS, type Rig, RUNNING_INPUT_FIRST } from '../../src/rig/index.ts';
import type { BusClient } from '../../src/supervisor/index.ts';
import { type Ms, ms } from '../../src/units/index.ts';
import { SOUND, valuesOf } from '../src/supervisor/tiny-rig.ts';

type Answer = Outcome<ArrayLike<number>>;

/** How a wire answers; `late` within its time-out, `hung` long after it. */
export type WireFault = 'none' | 'silent' | 'refused' | 'mismatched' | 'late' | 'hung';

const HUNG_MS = 9000;

export class FaultyClock implements BenchClock {
  nowMs = 0;
  /** How much later than asked for every timer calls. */
  lateMs = 0;
  readonly #waiting: { readonly atMs: number; readonly call: () => void }[] = [];

  now = (): Ms => ms(this.nowMs);
  speed = (): number => 1;
  paused = (): boolean => false;
  set = (): void => undefined;
  toReal = (spanMs: number): number => spanMs;
  stop = (): void => undefined;

  at(atMs: number, call: () => void): () => void {
    const one = { atMs: atMs + this.lateMs, call };
    this.#waiting.push(one);
    return () => {
      const index = this.#waiting.indexOf(one);
      if (index >= 0) this.#waiting.splice(index, 1);
    };
  }

  /** Everything up to and with `untilMs`; `look` after each call, once all that follows from it is done. */
  async run(untilMs: number, look: () => void): Promise<void> {
    for (;;) {
      const next = this.#waiting.reduce<{ atMs: number; call: () => void } | null>(
        (first, one) => (first === null || one.atMs < first.atMs ? one : first),
        null,
      );
      if (next === null || next.atMs > untilMs) break;
      this.#waiting.splice(this.#waiting.indexOf(next), 1);
      this.nowMs = Math.max(this.nowMs, next.atMs);
      next.call();
      await settled();
      look();
    }
    this.nowMs = Math.max(this.nowMs, untilMs);
  }
}

/** All promises that follow from one another have called. */
export const settled = (): Promise<void> => new Promise((resolve) => setImmediate(resolve));

/** A request as the field I/O took it; null for what it does not command. */
export interface Commanded {
  readonly atMs: number;
  readonly fan: boolean | null;
  readonly heat: boolean | null;
  readonly compressors: boolean | null;
}

export class FaultyPlant {
  readonly gas = new Set<string>();
  cooling = true;
  fire = false;
  fanDead = false;
  /** By unit; whoever is not named is sound. */
  readonly wire = new Map<number, WireFault>();
  /** Told of each request that commands as it is taken, and of each answer as it is given. */
  commanded: (command: Commanded) => void = () => undefined;
  heard: (unit: number, gas: boolean) => void = () => undefined;
  readonly #rig: Rig;
  readonly #clock: FaultyClock;
  readonly #coils: boolean[] = [];

  constructor(rig: Rig, clock: FaultyClock) {
    this.#rig = rig;
    this.#clock = clock;
  }

  bus(): BusClient {
    const open = new Set<() => void>();
    let isClosed = false;
    return {
      address: 'nowhere',
      perform: async (unit, request, timeoutMs) => {
        const fault = this.wire.get(unit) ?? 'none';
        if (isClosed) return SILENT;
        if (fault === 'refused') return { kind: 'refused', exception: 4 };
        if (fault === 'mismatched') return { kind: 'mismatched', field: 'length' };
        if (fault === 'none') return this.#serve(unit, request);
        // A write is carried out as it is asked, though its answer comes late.
        const written = fault === 'late' && request.kind !== 'read' ? this.#serve(unit, request) : null;
        const afterMs = { silent: timeoutMs, late: timeoutMs - 1, hung: HUNG_MS }[fault];
        const untilMs = this.#clock.nowMs + afterMs;
        return new Promise((resolve) => {
          const end = (): void => {
            open.delete(end);
            cancel();
            resolve(
              fault !== 'late' || isClosed || this.#clock.nowMs < untilMs
                ? SILENT
                : (written ?? this.#serve(unit, request)),
            );
          };
          const cancel = this.#clock.at(untilMs, end);
          open.add(end);
        });
      },
      abandon: () => {
        for (const end of [...open]) end();
      },
      close: () => {
        isClosed = true;
        for (const end of [...open]) end();
      },
    };
  }

  #serve(unit: number, request: TableRequest): Answer {
    if (unit === this.#rig.fieldIo.unitId) return this.#fieldIo(request);
    const sensor = this.#rig.sensors.find((one) => one.kind === 'modbus' && one.unitId === unit);
    if (sensor?.kind !== 'modbus' || request.kind !== 'read') return SILENT;
    const gas = this.gas.has(sensor.id);
    const says = { ...SOUND, serial: sensor.serial ?? '', ...(gas ? IN_GAS : {}) };
    const image = new Uint16Array(64);
    sensor.codec.encode(valuesOf(says, this.#clock.now()), 'input', image);
    this.heard(unit, gas);
    return { kind: 'answered', answer: image.slice(request.address, request.address + request.quantity) };
  }

  #fieldIo(request: TableRequest): Answer {
    if (request.kind === 'writeMany') {
      for (const [index, value] of request.values.entries())
        this.#coils[request.address + index] = value === 1;
      this.commanded(this.#command(request.address));
      return { kind: 'answered', answer: [] };
    }
    if (request.kind !== 'read') return SILENT;
    const bits = request.functionCode === 1 ? this.#coils.map(Number) : this.#inputs();
    this.heard(this.#rig.fieldIo.unitId, false);
    return { kind: 'answered', answer: bits.slice(0, request.quantity) };
  }

  #command(address: number): Commanded {
    const coils = this.#coils;
    const atMs = this.#clock.nowMs;
    if (address === COMPRESSOR_COIL_FIRST)
      return { atMs, fan: null, heat: null, compressors: coils.includes(true, address) };
    return { atMs, fan: coils[COILS.fan] === true, heat: coils[COILS.heat] === true, compressors: null };
  }

  #inputs(): number[] {
    const bits = Array.from({ length: RUNNING_INPUT_FIRST + this.#rig.circuits.length }, () => 0);
    bits[INPUTS.cooling] = Number(this.cooling);
    bits[INPUTS.airflow] = Number(this.#coils[COILS.fan] === true && !this.fanDead);
    bits[INPUTS.fire] = Number(this.fire);
    this.#rig.circuits.forEach((_, circuit) => {
      bits[RUNNING_INPUT_FIRST + circuit] = Number(this.#coils[COMPRESSOR_COIL_FIRST + circuit] === true);
    });
    for (const sensor of this.#rig.sensors) {
      if (sensor.kind === 'contact') bits[sensor.input] = Number(sensor.contact === 'opens-on-gas');
    }
    return bits;
  }
}

const SILENT: Answer = { kind: 'silent' };
const IN_GAS = { state: 'gas', gas: 40, gasBit: true } as const;

/** A record that keeps all or nothing, and may refuse. */
export class FaultyRecord {
  readonly facts: Fact[] = [];
  fails = false;
  failures = 0;

  store = (facts: readonly Fact[]): void => {
    if (this.fails) {
      this.failures += 1;
      throw new Error('the disk is full');
    }
    this.facts.push(...facts);
  };
}
