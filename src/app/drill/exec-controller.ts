/**
 * A controller that is spoken to in lines, in virtual time: each cycle the bench asks every sensor in its
 * place, tells it what came, and writes what it answers.
 */
import type { Heard, PlantInputs } from '../../belief/index.ts';
import type { Rig } from '../../rig/index.ts';
import {
  coilsOf,
  heardFrom,
  inputsFrom,
  performVirtually,
  planOf,
  requestsOf,
  type SupervisorPlan,
  type VirtualWire,
} from '../../supervisor/index.ts';
import { type Ms, ms } from '../../units/index.ts';
import { answerReader, checkReady, pollEveryMs, resetLine } from './exec-protocol.ts';

/** A running controller. What it says wrong, or not at all, rejects with PartnerError. */
export interface Partner {
  /** The last lines it said, the newest last. */
  readonly tail: readonly string[];
  exchange(line: string): Promise<string>;
  /** Resolves when it is gone. */
  kill(): Promise<void>;
}

/** Inputs as they were last read: before the first read, nothing calls and nothing blows. */
const NOTHING: PlantInputs = {
  calls: { cooling: false, heating: false, fan: false },
  airflow: false,
  serviceReset: false,
  fire: false,
  contactClosed: {},
  compressorRunning: [],
};

type Task = Parameters<typeof requestsOf>[1];

export class ExecController {
  readonly #start: () => Partner;
  readonly #rig: Rig;
  readonly #plan: SupervisorPlan;
  readonly #wire: VirtualWire;
  readonly #read: ReturnType<typeof answerReader>;
  #partner: Partner | null = null;
  #isPlanned = false;
  #on = true;
  #dueMs = ms(0);
  #inputs = NOTHING;
  #tail: readonly string[] = [];

  /** `start` is called at every power-up. */
  constructor(start: () => Partner, rig: Rig, wire: VirtualWire) {
    this.#start = start;
    this.#rig = rig;
    this.#plan = planOf(rig);
    this.#wire = wire;
    this.#read = answerReader(rig.circuits);
  }

  /** What it said last, across its restarts. */
  get tail(): readonly string[] {
    return this.#partner?.tail ?? this.#tail;
  }

  nextDueMs(): number {
    return this.#on || this.#partner !== null ? this.#dueMs : Number.POSITIVE_INFINITY;
  }

  /** Its cut shows at the next wake, which is due at once. */
  power(on: boolean, now: Ms): void {
    this.#on = on;
    this.#isPlanned = false;
    this.#dueMs = now;
  }

  /** One exchange, where it is due. Rejects with PartnerError. */
  async wake(now: Ms): Promise<void> {
    if (now < this.#dueMs) return;
    if (!this.#isPlanned) await this.close();
    if (!this.#on) return;
    this.#partner ??= this.#start();
    if (!this.#isPlanned) {
      checkReady(await this.#partner.exchange(resetLine(this.#rig)));
      this.#isPlanned = true;
      this.#inputs = NOTHING;
    }
    const commands = this.#read(await this.#partner.exchange(this.#cycleLine(now)));
    this.#perform(this.#fieldIoLine(), { kind: 'write' }, now, coilsOf(commands));
    this.#dueMs = ms(now + pollEveryMs(this.#rig));
  }

  async close(): Promise<void> {
    this.#tail = this.tail;
    await this.#partner?.kill();
    this.#partner = null;
  }

  #fieldIoLine(): number {
    return this.#plan.lines.findIndex((line) => line.fieldIo);
  }

  #perform(line: number, task: Task, now: Ms, coils: readonly boolean[]) {
    const requests = requestsOf(this.#plan, task, coils);
    const outcome = performVirtually(this.#wire, this.#plan.lines[line], requests, now);
    return { askedAtMs: now, doneAtMs: now, outcome };
  }

  #cycleLine(now: Ms): string {
    const read = inputsFrom(this.#perform(this.#fieldIoLine(), { kind: 'inputs' }, now, []), this.#plan);
    const heardInputs = read.outcome.kind === 'answered';
    if (read.outcome.kind === 'answered') this.#inputs = read.outcome.answer;
    const { calls, airflow, serviceReset, fire, contactClosed, compressorRunning } = this.#inputs;
    const sensors = this.#plan.sensors.map((sensor, index): readonly [string, object] => {
      if (sensor.kind === 'contact') {
        return [
          sensor.id,
          heardInputs ? { answered: true, closed: contactClosed[sensor.input] } : SILENT,
        ] as const;
      }
      const line = this.#plan.lines.findIndex(({ sensors: asked }) => asked.includes(index));
      const poll = this.#perform(line, { kind: 'sensor', sensor: index }, now, []);
      const { outcome } = heardFrom(poll, this.#plan, index);
      return [sensor.id, outcome.kind === 'answered' ? told(outcome.answer) : SILENT];
    });
    return JSON.stringify({
      t: now,
      sensors: Object.fromEntries(sensors) as object,
      calls,
      airflowProven: airflow,
      compressorRunning: Object.fromEntries(
        this.#rig.circuits.map((circuit, index) => [circuit, compressorRunning[index] === true]),
      ),
      serviceReset,
      fire,
    });
  }
}

const SILENT = { answered: false } as const;

function told(heard: Heard) {
  return {
    answered: heard.state !== undefined,
    state: heard.state,
    gasPercentLfl: heard.gasPercentLfl,
    gasBit: heard.gasBit,
    selfTestPassed: heard.selfTestPassed,
    counter: heard.counter ?? null,
    serial: heard.serial ?? null,
  };
}
