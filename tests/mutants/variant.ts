/** The sample controller with one thing changed, as a partner in the same process. */
import {
  type Commands,
  type Cycle,
  decide,
  type Kept,
  type Memory,
  type Plan,
  type Policy,
  powerUp,
  type Told,
} from '../../sim/controllers/index.ts';
import type { Partner } from '../../src/app/drill/exec-controller.ts';

/** Where a change takes hold; what is left out stays as the sample has it. */
export interface Change {
  /** What it is told of the rig. */
  readonly plan?: (plan: Plan) => Plan;
  /** What it finds stored at power-up. */
  readonly finds?: (kept: Kept | null) => Kept | null;
  /** What it remembers from the cycle before, while it decides. */
  readonly recalls?: (memory: Memory, cycle: Cycle) => Memory;
  /** What it sees of a cycle. */
  readonly sees?: (cycle: Cycle) => Cycle;
  /** What it commands. */
  readonly commands?: (commands: Commands, cycle: Cycle, memory: Memory) => Commands;
}

/** Made anew at each power-up, so that a change may have a memory of its own. */
export type Variant = () => Change;

export const SOUND: Variant = () => ({});

/** Starts a variant; what it stored outlives its power cuts. One of these a drill. */
export function inProcess(variant: Variant): () => Partner {
  let stored: Kept | null = null;
  return () => {
    const change = variant();
    let memory: Memory | null = null;
    return {
      tail: [],
      exchange(line) {
        const message = JSON.parse(line) as (Plan & { reset: true }) | (Cycle & { reset?: never });
        if (message.reset) {
          memory = powerUp((change.plan ?? same)(message), (change.finds ?? same)(stored));
          return Promise.resolve('{"ready":true}');
        }
        if (memory === null) throw new Error('a cycle came before the plan');
        const recalled = change.recalls?.(memory, message) ?? memory;
        const decision = decide(recalled, change.sees?.(message) ?? message);
        const commands = change.commands?.(decision.commands, message, decision.memory) ?? decision.commands;
        // What it commanded is what it remembers, whoever changed it.
        memory = { ...decision.memory, last: commands };
        stored = memory.kept;
        return Promise.resolve(JSON.stringify(commands));
      },
      kill: () => Promise.resolve(),
    };
  };
}

function same<Value>(value: Value): Value {
  return value;
}

/** Other limits than the rig's. */
export function policy(other: Partial<Policy>): Change {
  return { plan: (plan) => ({ ...plan, policy: { ...plan.policy, ...other } }) };
}

/** What it hears of every sensor, or of one. */
export function hears(change: (told: Told, cycle: Cycle, id: string) => Told, only?: string): Change {
  return {
    sees: (cycle) => ({
      ...cycle,
      sensors: Object.fromEntries(
        Object.entries(cycle.sensors).map(([id, told]) => [
          id,
          only === undefined || id === only ? change(told, cycle, id) : told,
        ]),
      ),
    }),
  };
}

/** What a Modbus sensor says that measures clean air; its counter moves with time. */
export function clean(told: Told, { t }: Cycle): Told {
  return {
    ...told,
    answered: true,
    state: 'measuring',
    gasPercentLfl: 0,
    gasBit: false,
    selfTestPassed: true,
    counter: t,
  };
}

/** A change of what is kept. */
export function keeps(change: (memory: Memory, cycle: Cycle) => Partial<Kept>): Change {
  return {
    recalls: (memory, cycle) => ({ ...memory, kept: { ...memory.kept, ...change(memory, cycle) } }),
  };
}

/** Commands changed by the time since mitigation began, ms; null outside one. */
export function inMitigation(
  change: (commands: Commands, sinceMs: number, cycle: Cycle, memory: Memory) => Partial<Commands>,
): Change {
  let beganMs: number | null = null;
  return {
    commands(commands, cycle, memory) {
      beganMs = memory.kept.mitigating ? (beganMs ?? cycle.t) : null;
      return beganMs === null
        ? commands
        : { ...commands, ...change(commands, cycle.t - beganMs, cycle, memory) };
    },
  };
}

/** Everything that a call asks for, and nothing else. */
export function serving({ calls }: Cycle, { plan }: Memory): Partial<Commands> {
  const fan = calls.cooling || calls.heating || calls.fan;
  return {
    fan,
    damper: fan,
    heat: calls.heating,
    compressors: Object.fromEntries(plan.circuits.map((circuit) => [circuit, calls.cooling])),
  };
}
