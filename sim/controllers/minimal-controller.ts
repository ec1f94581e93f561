/**
 * A sound controller in one pure function, to start your own from: decide(memory, cycle) says what to do.
 *
 * Order of thought, each cycle: hear every sensor; find the reasons for mitigation; keep mitigating until
 * the hold has passed since the last of them; count gas trips and lock out; then let the calls have what is
 * left. `kept` is all that must outlive a power cut.
 */
import type { Commands, Cycle, Plan } from './plan.ts';
import { hear, isWell, type Reason, reasonsOf, type SensorMemory, UNHEARD } from './sensor-memory.ts';

/** What goes to the disk; times are of the cycles. */
export interface Kept {
  /** A mitigation has begun, and its hold has not passed. */
  readonly mitigating: boolean;
  /** This mitigation has been counted as a gas trip. */
  readonly counted: boolean;
  readonly tripsAtMs: readonly number[];
  readonly lockedOut: boolean;
}

export interface Memory {
  readonly plan: Plan;
  readonly kept: Kept;
  readonly sensors: Readonly<Record<string, SensorMemory>>;
  /** Since when all has been well, with air. */
  readonly clearSinceMs: number | null;
  /** Since when the fan has been commanded on without air; null while there is air, or no command. */
  readonly airMissingSinceMs: number | null;
  /** By circuit: when it was switched off. */
  readonly offSinceMs: Readonly<Record<string, number>>;
  readonly last: Commands | null;
  readonly resetWasPressed: boolean;
}

export interface Decision {
  readonly memory: Memory;
  readonly commands: Commands;
}

const NOTHING_KEPT: Kept = { mitigating: false, counted: false, tripsAtMs: [], lockedOut: false };

/** At power-up: `kept` is what was stored before the cut, null at the very first start. */
export function powerUp(plan: Plan, kept: Kept | null): Memory {
  // Nobody knows when a compressor stopped that ran before the cut: its time off counts from now.
  const offSinceMs = kept === null ? Number.NEGATIVE_INFINITY : Number.NaN;
  return {
    plan,
    kept: kept ?? NOTHING_KEPT,
    sensors: Object.fromEntries(plan.sensors.map(({ id }) => [id, UNHEARD])),
    clearSinceMs: null,
    airMissingSinceMs: null,
    offSinceMs: Object.fromEntries(plan.circuits.map((circuit) => [circuit, offSinceMs])),
    last: null,
    // A button that is found pressed may have been taped down.
    resetWasPressed: true,
  };
}

export function decide(before: Memory, cycle: Cycle): Decision {
  const { plan } = before;
  const { policy } = plan;
  const { t } = cycle;
  const sensors: Record<string, SensorMemory> = {};
  const reasons = new Set<Reason>();
  let allWell = true;
  for (const planned of plan.sensors) {
    const told = cycle.sensors[planned.id] ?? { answered: false };
    const memory = hear(before.sensors[planned.id] ?? UNHEARD, told, planned, policy, t);
    for (const reason of reasonsOf(memory, planned, policy, t)) reasons.add(reason);
    allWell &&= isWell(memory, planned, policy);
    sensors[planned.id] = memory;
  }
  const passed = Object.values(sensors).every((sensor) => sensor.passed);
  const pressed = cycle.serviceReset && !before.resetWasPressed;
  // It counts from the first cycle in which all was well, not from the last in which it was not.
  const clear = reasons.size === 0 && allWell && cycle.airflowProven;
  const clearSinceMs = clear ? (before.clearSinceMs ?? t) : null;
  const held = clearSinceMs !== null && t - clearSinceMs >= policy.holdMs;
  const kept = keep(before, reasons, { held, pressed, t });

  const airMissingSinceMs =
    before.last?.fan === true && !cycle.airflowProven ? (before.airMissingSinceMs ?? t) : null;
  const airMissing = airMissingSinceMs !== null && t - airMissingSinceMs >= policy.fanProofWithinMs;
  const memory = {
    ...before,
    kept,
    sensors,
    clearSinceMs,
    airMissingSinceMs,
    resetWasPressed: cycle.serviceReset,
  };
  const mayRun = !kept.mitigating && !kept.lockedOut && passed && !airMissing && !cycle.fire;
  const commands = commandsOf(memory, cycle, mayRun, {
    alarm: reasons.has('gas') || reasons.has('contradiction') || cycle.fire,
    trouble: [...reasons].some((one) => one !== 'gas' && one !== 'contradiction') || airMissing,
  });
  return { memory: { ...memory, last: commands, offSinceMs: offTimes(memory, commands, t) }, commands };
}

function keep(
  { kept, plan }: Memory,
  reasons: ReadonlySet<Reason>,
  now: { readonly held: boolean; readonly pressed: boolean; readonly t: number },
): Kept {
  const { latchTrips, latchWithinMs } = plan.policy;
  const mitigating = reasons.size > 0 || (kept.mitigating && !now.held);
  // A person must press, and not while anything is wrong.
  const reset = kept.lockedOut && now.pressed && reasons.size === 0;
  const trips = reset ? [] : kept.tripsAtMs.filter((atMs) => now.t - atMs <= (latchWithinMs ?? 0));
  const gas = reasons.has('gas') || reasons.has('contradiction');
  const tripsAtMs = gas && !kept.counted ? [...trips, now.t] : trips;
  return {
    mitigating,
    counted: mitigating && (kept.counted || gas),
    tripsAtMs,
    lockedOut: (kept.lockedOut && !reset) || (latchTrips !== null && tripsAtMs.length >= latchTrips),
  };
}

function commandsOf(
  memory: Memory,
  { calls, airflowProven, fire, t }: Cycle,
  mayRun: boolean,
  lamps: Pick<Commands, 'alarm' | 'trouble'>,
): Commands {
  const { plan, kept, last, offSinceMs } = memory;
  const called = calls.cooling || calls.heating || calls.fan;
  const fan = !fire && (kept.mitigating || kept.lockedOut || called);
  const compressors = plan.circuits.map((circuit) => {
    const rested = t - (offSinceMs[circuit] ?? Number.NaN) >= plan.policy.compressorMinOffMs;
    const goesOn = last?.compressors[circuit] === true;
    return [circuit, mayRun && calls.cooling && (goesOn || (rested && airflowProven))] as const;
  });
  return {
    ...lamps,
    fan,
    damper: fan,
    heat: mayRun && calls.heating && (last?.heat === true || airflowProven),
    compressors: Object.fromEntries(compressors),
  };
}

function offTimes({ offSinceMs, last }: Memory, { compressors }: Commands, t: number): Memory['offSinceMs'] {
  const times = Object.entries(offSinceMs).map(([circuit, sinceMs]) => {
    const goesOff = last?.compressors[circuit] === true && compressors[circuit] !== true;
    return [circuit, goesOff || Number.isNaN(sinceMs) ? t : sinceMs];
  });
  return Object.fromEntries(times) as Memory['offSinceMs'];
}
