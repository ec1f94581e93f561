/** A controller in virtual time at a real world: whatever it asks is folded into a poll report. */
import type { AdviceId } from '../../../sim/poll-report/advice.ts';
import { PollFold, type PollReport, type ThrownAway } from '../../../sim/poll-report/index.ts';
import { type Observation, World } from '../../../sim/world/index.ts';
import type { WireAnswer } from '../../../src/modbus/index.ts';
import type { Rig } from '../../../src/rig/index.ts';
import { compileCodec, loadProfileFile, profileFile, type SensorCodec } from '../../../src/sensor/index.ts';
import { ms, unitId } from '../../../src/units/index.ts';
import { demoRig } from '../../helpers/demo.ts';

export const COIL_A = 11;
export const COIL_B = 12;
export const IO = 200;
export class Asking {
  readonly rig: Rig;
  readonly fold: PollFold;
  readonly world: World;
  nowMs = 0;
  timeoutMs = 300;
  /** From one request to the next, where the first was answered at once. */
  turnMs = 10;

  constructor(rig: Rig = demoRig()) {
    this.rig = rig;
    this.fold = new PollFold(rig);
    const observe = (seen: Observation): void => {
      this.fold.observe(seen);
    };
    this.world = new World(rig, { seed: 1, startMs: ms(0), serviceDaysLeft: () => 1000, observe });
  }

  /** One request, and the time that it takes; false where nothing was heard. */
  ask(unit: number, pdu: readonly number[], line = 'main'): boolean {
    const answer = this.world.serve(line, unit, Uint8Array.from(pdu), ms(this.nowMs));
    const heardMs = heardAfter(answer);
    this.nowMs +=
      heardMs === null || heardMs > this.timeoutMs ? this.timeoutMs : Math.max(this.turnMs, heardMs);
    return heardMs !== null && heardMs <= this.timeoutMs;
  }

  /** The same cycle again and again, `everyMs` from beginning to beginning where it takes no longer. */
  cycles(times: number, everyMs: number, cycle: (turn: number) => void): this {
    for (let turn = 0; turn < times; turn += 1) {
      const beganMs = this.nowMs;
      cycle(turn);
      this.nowMs = Math.max(this.nowMs, beganMs + everyMs);
    }
    return this;
  }

  report(thrownAway?: ThrownAway): PollReport {
    return this.fold.report(this.nowMs, thrownAway);
  }

  said(thrownAway?: ThrownAway): readonly AdviceId[] {
    return this.report(thrownAway).advice.map(({ id }) => id as AdviceId);
  }

  text(id: AdviceId): string {
    return this.report()
      .advice.filter((one) => one.id === id)
      .map(({ text }) => text)
      .join('\n');
  }
}

function heardAfter(answer: WireAnswer): number | null {
  if (answer === undefined) return null;
  if (answer instanceof Uint8Array) return 0;
  return answer.emission({ kind: 'mbap', transactionId: 1 }).parts.at(-1)?.afterMs ?? null;
}

export function read(functionCode: number, address: number, quantity: number): number[] {
  return [functionCode, address >> 8, address & 0xff, quantity >> 8, quantity & 0xff];
}

/** Function 0F, all coils off. */
export function coils(address: number, quantity: number): number[] {
  const bytes = Math.ceil(quantity / 8);
  return [0x0f, address >> 8, address & 0xff, 0, quantity, bytes, ...Array.from({ length: bytes }, () => 0)];
}

/** Function 10. */
export function registers(address: number, ...words: readonly number[]): number[] {
  const values = words.flatMap((word) => [word >> 8, word & 0xff]);
  return [0x10, address >> 8, address & 0xff, 0, words.length, values.length, ...values];
}

type Asked = readonly [number, readonly number[]];
export const RIGHT_A: Asked = [COIL_A, read(4, 0, 19)];
export const RIGHT_B: Asked = [COIL_B, read(4, 0, 19)];
export const BOTH: readonly Asked[] = [RIGHT_A, RIGHT_B];

/** What a right controller does in one cycle; `sensors` may put something else in place of a read. */
export function rightCycle(asking: Asking, sensors: readonly Asked[] = BOTH): void {
  asking.ask(IO, read(2, 0, 26));
  for (const [unit, pdu] of sensors) asking.ask(unit, pdu);
  command(asking);
}

/** A controller that asks coil-a as given, all else as it should be. */
export function askingCoilA(...pdus: readonly (readonly number[])[]): Asking {
  const asking = new Asking();
  return asking.cycles(40, 1000, () => {
    rightCycle(asking, [...pdus.map((pdu) => [COIL_A, pdu] as const), RIGHT_B]);
  });
}

export function command(asking: Asking): void {
  asking.ask(IO, coils(0, 5));
  asking.ask(IO, coils(8, 2));
}

function codecOf(profile: string): SensorCodec {
  const file = profileFile(profile, '') ?? '';
  const loaded = loadProfileFile(file);
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.problems));
  return compileCodec(loaded.value);
}

/** The demo with something changed about coil-b. */
export function rigWithCoilB(change: { profile?: string; unitId?: number; line?: string }): Rig {
  const rig = demoRig();
  return {
    ...rig,
    sensors: rig.sensors.map((sensor) => {
      if (sensor.kind === 'contact' || sensor.id !== 'coil-b') return sensor;
      return {
        ...sensor,
        ...(change.profile === undefined ? {} : { codec: codecOf(change.profile) }),
        ...(change.unitId === undefined ? {} : { unitId: unitId(change.unitId) }),
        ...(change.line === undefined ? {} : { line: change.line }),
      };
    }),
  };
}

/** The demo with a gateway before its line, or what else a line may have. */
export function rigWithLine(change: Partial<Rig['lines'][number]>): Rig {
  const rig = demoRig();
  return { ...rig, lines: rig.lines.map((line) => ({ ...line, ...change })) };
}
