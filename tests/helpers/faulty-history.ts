/**
 * A history of faults around the live supervisor, in virtual time, and everything in it that must not be. What is
 * judged is what the plant was asked and told, and what the record holds; never the supervisor's own word for it.
 */
import fc from 'fast-check';
import { Memory } from '../../src/app/drill/memory.ts';
import type { Fact } from '../../src/events/index.ts';
import type { PowerUp } from '../../src/mitigation/index.ts';
import { loadRig, type Rig } from '../../src/rig/index.ts';
import { planOf, Supervisor } from '../../src/supervisor/index.ts';
import { ms } from '../../src/units/index.ts';
import { FaultyClock, FaultyPlant, FaultyRecord, settled, type WireFault } from './faulty-around.ts';

export const RIG = shortened();
const { holdMs } = RIG.policy;
const PLAN = planOf(RIG);
/** With all mended, a compressor serves the call again within this time. */
const RECOVER_MS = 30_000;
/** Longer than what was on the wire, or late, when all was mended. */
const SETTLED_MS = 12_000;
/** The shell looks this often on its own, and a clock's whole millisecond. */
const LOOK_MS = 1001;

function shortened(): Rig {
  const loaded = loadRig('tests/live/quick.rig.yaml');
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  const rig = loaded.value;
  const policy = {
    silentAfterMs: ms(2000),
    askWithinMs: ms(3000),
    holdMs: ms(6000),
    fanProofWithinMs: ms(2000),
  };
  return { ...rig, policy: { ...rig.policy, ...policy, compressorMinOffMs: ms(3000) } };
}

const UNITS = [11, 12, 200] as const;
const WIRE_FAULTS: readonly WireFault[] = ['none', 'silent', 'refused', 'mismatched', 'late', 'hung'];

type Act =
  | { readonly what: 'wire'; readonly unit: number; readonly fault: WireFault }
  | { readonly what: 'record' | 'fire' | 'fan' | 'gas-a' | 'gas-b'; readonly on: boolean }
  | { readonly what: 'timers' | 'jump'; readonly ms: number }
  /** The supervisor ends as by a power cut, and another one starts on what is recorded. */
  | { readonly what: 'kill' };

const act: fc.Arbitrary<Act> = fc.oneof(
  fc.record({
    what: fc.constant('wire' as const),
    unit: fc.constantFrom(...UNITS),
    fault: fc.constantFrom(...WIRE_FAULTS),
  }),
  fc.record({ what: fc.constantFrom('record', 'record', 'fire', 'fan', 'gas-a', 'gas-b'), on: fc.boolean() }),
  fc.record({ what: fc.constant('timers' as const), ms: fc.constantFrom(0, 7, 700, 3000) }),
  fc.record({ what: fc.constant('jump' as const), ms: fc.constantFrom(5, 900, 2500, 5000, 60_000) }),
  fc.constant({ what: 'kill' as const }),
);

/** From within a poll to beyond a hold. */
const moment = fc.record({ afterMs: fc.oneof(fc.nat(1500), fc.nat(9000)), act });
export const histories = fc.record({
  /** On a record that is new, or shows no orderly stop; and whether it takes anything then. */
  isNew: fc.boolean(),
  recordFails: fc.boolean(),
  moments: fc.array(moment, { minLength: 1, maxLength: 9 }),
});
type Told = typeof histories extends fc.Arbitrary<infer One> ? One : never;

const NEW: PowerUp = { record: 'empty', tripAgesMs: [], tripCounted: false };

/** What a record shows of somebody who was killed. */
const LEFT: Fact = { id: 'supervisor.started', atMs: 0, fields: { state: 'holding', reason: 'killed' } };

class History {
  readonly wrong: string[] = [];
  readonly clock = new FaultyClock();
  readonly plant = new FaultyPlant(RIG, this.clock);
  readonly record = new FaultyRecord();
  supervisor: Supervisor;
  /** By unit: when it last gave an answer. */
  readonly #heardMs = new Map<number, number>();
  readonly #inGas = new Set<number>();
  /** Nothing serves before a hold has passed since; null where nothing has been wrong yet. */
  #holdFromMs: number | null = null;
  #servesAtMs = Number.NEGATIVE_INFINITY;
  /** Where the facts of this supervisor begin on record. */
  #from = 0;
  #fireOffMs = Number.NEGATIVE_INFINITY;
  #lateMs = 0;

  constructor({ isNew, recordFails }: Told) {
    this.record.fails = recordFails;
    if (!isNew) {
      this.#holdFromMs = 0;
      this.record.facts.push(LEFT);
    }
    this.plant.heard = (unit, gas) => {
      this.#heard(unit, gas);
    };
    this.plant.commanded = ({ atMs, compressors, heat, fan }) => {
      if (compressors === true || heat === true) this.#serves(atMs);
      else if (
        this.#inGas.size > 0 &&
        fan === false &&
        !this.plant.fire &&
        this.#fireMs() > SETTLED_MS + 2 * this.#lateMs
      )
        this.#say('the fan was commanded off with gas reported');
    };
    this.supervisor = this.#start(isNew ? NEW : { ...NEW, record: 'disorderly' });
  }

  /** What is true after each step, whatever failed. */
  readonly look = (): void => {
    const { phase, commands } = this.supervisor.state.mitigation;
    const stops = commands.compressors.every((on) => !on) && !commands.heat;
    if (this.#inGas.size > 0 && !stops) this.#say('serves on with gas reported');
    if (this.#inGas.size > 0 && !commands.fan && phase.kind !== 'fire') this.#say('no fan with gas reported');
    if (phase.kind !== 'running') {
      if (!stops) this.#say(`serves in ${phase.kind}`);
      return;
    }
    const last = this.record.facts.findLast(({ id }) => id === 'mitigation.changed');
    const isStored = last?.id === 'mitigation.changed' && last.fields.to === 'running';
    if (!isStored) this.#say('runs, and its release is not on record');
  };

  async does(one: Act): Promise<void> {
    const { plant, clock } = this;
    switch (one.what) {
      case 'wire':
        plant.wire.set(one.unit, one.fault);
        break;
      case 'record':
        this.record.fails = one.on;
        break;
      case 'fire':
        plant.fire = one.on;
        if (!one.on) this.#fireOffMs = clock.nowMs;
        break;
      case 'fan':
        plant.fanDead = one.on;
        break;
      case 'gas-a':
      case 'gas-b': {
        const sensor = one.what === 'gas-a' ? 'coil-a' : 'coil-b';
        if (one.on) plant.gas.add(sensor);
        else plant.gas.delete(sensor);
        break;
      }
      case 'timers':
        clock.lateMs = one.ms;
        this.#lateMs = Math.max(this.#lateMs, one.ms);
        break;
      case 'jump':
        clock.nowMs += one.ms;
        break;
      case 'kill':
        await this.#kill();
    }
  }

  /** Everything sound from now on; late timers that are out already still come late. */
  mend(): void {
    const { plant, record, clock } = this;
    plant.wire.clear();
    plant.gas.clear();
    if (plant.fire) this.#fireOffMs = clock.nowMs;
    plant.fire = false;
    plant.fanDead = false;
    record.fails = false;
    clock.lateMs = 0;
  }

  servedSince(atMs: number): boolean {
    return this.#servesAtMs >= atMs + SETTLED_MS;
  }

  /** What must be so once it has had its time: it serves, and all that it knew is on record. */
  judgeMended(sinceMs: number): void {
    if (this.#servesAtMs < sinceMs) this.#say(`does not serve ${RECOVER_MS} ms after all was mended`);
    let at: string | null = null;
    for (const fact of this.record.facts.slice(this.#from)) {
      if (fact.id !== 'mitigation.changed') continue;
      if (at !== null && fact.fields.from !== at)
        this.#say(`the record jumps from ${at} to ${fact.fields.from}`);
      at = fact.fields.to;
    }
    if (at !== this.supervisor.state.mitigation.phase.kind) this.#say(`the record ends in ${String(at)}`);
  }

  async end(): Promise<void> {
    await this.supervisor.cut();
  }

  #fireMs(): number {
    return this.clock.nowMs - this.#fireOffMs;
  }

  #heard(unit: number, gas: boolean): void {
    const { nowMs } = this.clock;
    const lastMs = this.#heardMs.get(unit);
    // Silence is counted from requests, and these begin within a cycle of the last answer.
    const unknown = lastMs !== undefined && nowMs - lastMs >= PLAN.limits.unheardAfterMs + LOOK_MS;
    // A silent field I/O tells no hold of its own, but the contact that hangs on it does.
    if (gas || unknown) this.#holdFromMs = nowMs;
    this.#heardMs.set(unit, nowMs);
    if (gas) this.#inGas.add(unit);
    else this.#inGas.delete(unit);
  }

  #serves(atMs: number): void {
    this.#servesAtMs = atMs;
    if (this.#inGas.size > 0) this.#say('a compressor was commanded on with gas reported');
    if (this.#holdFromMs !== null && atMs - this.#holdFromMs < holdMs)
      this.#say(`a compressor was commanded on ${atMs - this.#holdFromMs} ms after gas or unknown`);
    for (const [unit, heardMs] of this.#heardMs) {
      const quietMs = atMs - heardMs;
      // A late answer, and a look that is late as well.
      const slackMs = LOOK_MS + 2 * this.#lateMs;
      if (quietMs > PLAN.limits.unheardAfterMs + slackMs)
        this.#say(`serves on without unit ${unit} for ${quietMs} ms`);
    }
  }

  async #kill(): Promise<void> {
    await this.supervisor.cut();
    await settled();
    const memory = new Memory(RIG.name);
    // The host tells every start, so that a record with anything in it knows of somebody.
    if (this.record.facts.length > 0) memory.keep([LEFT, ...this.record.facts]);
    this.#from = this.record.facts.length;
    this.#holdFromMs = this.record.facts.length === 0 ? null : this.clock.nowMs;
    this.#heardMs.clear();
    this.#inGas.clear();
    this.supervisor = this.#start(memory.powerUp(RIG.policy, this.clock.now()));
  }

  #start(powerUp: PowerUp): Supervisor {
    const { clock, plant, record } = this;
    return new Supervisor(PLAN, powerUp, {
      clock,
      buses: PLAN.lines.map(() => plant.bus()),
      store: record.store,
      storeFailed: () => undefined,
      failed: (error) => {
        this.#say(`it ended on ${String(error)}`);
      },
    });
  }

  #say(what: string): void {
    if (this.wrong.length < 20) this.wrong.push(`${this.clock.nowMs}: ${what}`);
  }
}

/** Everything wrong in a history, and after it, once all is mended. */
export async function wrongIn(told: Told): Promise<readonly string[]> {
  const history = new History(told);
  const { clock, look } = history;
  await settled();
  try {
    for (const { afterMs, act: one } of told.moments) {
      await clock.run(clock.nowMs + afterMs, look);
      await history.does(one);
    }
    history.mend();
    const mendedMs = clock.nowMs;
    while (clock.nowMs < mendedMs + RECOVER_MS && !history.servedSince(mendedMs)) {
      await clock.run(clock.nowMs + 1000, look);
    }
    history.judgeMended(mendedMs);
  } finally {
    await history.end();
  }
  return history.wrong;
}
