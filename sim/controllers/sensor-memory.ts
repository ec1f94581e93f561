/**
 * What a controller keeps of one sensor, and why it mistrusts it.
 *
 * A number is worth something only from a sensor that answers, has tested itself, counts on, is the planned
 * one and does not contradict itself. Everything else counts like gas.
 */
import type { PlannedSensor, Policy, Told } from './plan.ts';

export type Reason = 'gas' | 'contradiction' | 'silent' | 'failed' | 'frozen' | 'invalid' | 'stranger';

export interface SensorMemory {
  /** The last answer that measured or failed; null since power-up. */
  readonly good: Told | null;
  readonly passed: boolean;
  /** Since when requests have gone without the answer that was due; null while it is there. */
  readonly missingSinceMs: number | null;
  readonly counterMovedAtMs: number;
  /** Reported, and not below the clearing level since. */
  readonly gas: boolean;
  readonly contradiction: boolean;
  readonly frozen: boolean;
}

export const UNHEARD: SensorMemory = {
  good: null,
  passed: false,
  missingSinceMs: null,
  counterMovedAtMs: 0,
  gas: false,
  contradiction: false,
  frozen: false,
};

export function hear(
  before: SensorMemory,
  told: Told,
  plan: PlannedSensor,
  policy: Policy,
  t: number,
): SensorMemory {
  const missingSinceMs = before.missingSinceMs ?? t;
  if (!told.answered) return { ...before, missingSinceMs };
  if (plan.kind === 'contact') {
    const gas = told.closed === (plan.contact === 'closes-on-gas');
    return { ...UNHEARD, good: told, passed: true, gas };
  }
  // It has restarted: its pass is void. At power-up, before it could be missed, no more can be asked of it.
  if (told.state === 'warming-up') {
    const silent = t - missingSinceMs >= policy.silentAfterMs;
    const waits = before.good !== null || silent;
    return { ...before, passed: false, missingSinceMs: waits ? missingSinceMs : null };
  }
  const number = told.gasPercentLfl ?? null;
  const saysGas = told.state === 'gas' || told.gasBit === true;
  const high = number !== null && number >= policy.setpointPercentLfl;
  const low = number !== null && number < policy.clearBelowPercentLfl;
  const passed = told.selfTestPassed === true;
  const rests = before.good !== null && before.good.counter === told.counter && told.state !== 'failed';
  const counterMovedAtMs = rests ? before.counterMovedAtMs : t;
  return {
    good: told,
    passed,
    // Silence is over only when the sensor has shown that it works.
    missingSinceMs: passed ? null : before.missingSinceMs,
    counterMovedAtMs,
    gas: saysGas || (before.gas && !low),
    contradiction: !saysGas && (high || (before.contradiction && !low)),
    frozen: told.counter != null && t - counterMovedAtMs >= policy.silentAfterMs,
  };
}

/** Everything that speaks for mitigation at `t`. */
export function reasonsOf(
  memory: SensorMemory,
  plan: PlannedSensor,
  policy: Policy,
  t: number,
): readonly Reason[] {
  const { good, missingSinceMs } = memory;
  const told = plan.kind === 'modbus' ? good : null;
  const planned = plan.kind === 'modbus' ? plan.serial : null;
  const holds: Readonly<Record<Reason, boolean>> = {
    gas: memory.gas,
    contradiction: memory.contradiction,
    silent: missingSinceMs !== null && t - missingSinceMs >= policy.silentAfterMs,
    failed: told?.state === 'failed',
    frozen: memory.frozen,
    invalid: told !== null && told.gasPercentLfl == null,
    stranger: planned !== null && told?.serial != null && told.serial !== planned,
  };
  return (Object.keys(holds) as Reason[]).filter((reason) => holds[reason]);
}

/** Nothing against it, and less gas than the level at which all is clear. */
export function isWell(memory: SensorMemory, plan: PlannedSensor, policy: Policy): boolean {
  if (memory.good === null || !memory.passed) return false;
  if (plan.kind === 'contact') return !memory.gas;
  return (memory.good.gasPercentLfl ?? Number.POSITIVE_INFINITY) < policy.clearBelowPercentLfl;
}
