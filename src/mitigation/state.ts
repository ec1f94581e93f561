/** The machine's memory. Only machine.ts makes a new one; everybody else reads. */
import type { Ms } from '../units/index.ts';
import type { Standing } from './hazards.ts';

/**
 * Time of the hold that has run: it counts only while airflow is proven, and begins anew with every moment
 * at which a sensor is at or above the setpoint, failed, silent or strange.
 */
export interface HoldClock {
  readonly ranMs: number;
  /** Since when it runs; null while it waits for airflow. */
  readonly runningSinceMs: Ms | null;
}

export type Phase =
  /** Not every sensor has passed its self-test since power-up. */
  | { readonly kind: 'starting'; readonly sinceMs: Ms }
  | { readonly kind: 'running'; readonly sinceMs: Ms }
  /** Gas, or unknown, now. */
  | { readonly kind: 'mitigating'; readonly sinceMs: Ms }
  /** No longer now; the hold runs, or waits for airflow or for fresh readings below `clearBelow`. */
  | { readonly kind: 'holding'; readonly sinceMs: Ms; readonly hold: HoldClock }
  /** A person must reset; the hold runs beside it. */
  | { readonly kind: 'lockedOut'; readonly sinceMs: Ms; readonly hold: HoldClock }
  /** Everything off; afterwards as after a power-up, a mitigation or lock-out kept. */
  | {
      readonly kind: 'fire';
      readonly sinceMs: Ms;
      readonly afterwards: 'starting' | 'holding' | 'lockedOut';
    };

export type PhaseKind = Phase['kind'];

export interface CompressorMemory {
  readonly on: boolean;
  /** When it was last switched; -Infinity when it has never run. */
  readonly sinceMs: number;
}

export interface Commands {
  readonly fan: boolean;
  readonly damper: boolean;
  readonly heat: boolean;
  readonly alarm: boolean;
  readonly trouble: boolean;
  /** By circuit, in the rig's order. */
  readonly compressors: readonly boolean[];
}

export interface MitigationState {
  readonly phase: Phase;
  readonly standing: readonly Standing[];
  readonly commands: Commands;
  readonly compressors: readonly CompressorMemory[];
  /** Onsets of gas episodes that still count towards `latchAfter`, oldest first. */
  readonly tripsAtMs: readonly Ms[];
  /** This episode's gas trip has been counted; cleared when the episode ends. */
  readonly tripCounted: boolean;
  /** The reset input as last seen: only its rising edge is a press. Unknown counts as held. */
  readonly resetWasHeld: boolean;
  /** Since when the fan is commanded on without airflow; null where airflow is there or the fan off. */
  readonly airflowMissingSinceMs: Ms | null;
  /** Since when airflow is there without a fan command. */
  readonly airflowUnaskedSinceMs: Ms | null;
  /** By circuit: since when it runs against its command. */
  readonly runningUnaskedSinceMs: readonly (Ms | null)[];
}

/** What a record tells a machine that starts: nothing, an orderly stop, anything else, or a lock-out. */
export interface PowerUp {
  readonly record: 'empty' | 'orderly' | 'disorderly' | 'lockedOut';
  /** Ages of the gas trips that still count, from a clock that may have been set meanwhile. */
  readonly tripAgesMs: readonly number[];
  /** The episode that it stopped in had counted its gas trip already. */
  readonly tripCounted: boolean;
}

/** A hold of which nothing has run: it begins with the first step that sees no danger. */
export const NOT_BEGUN: HoldClock = { ranMs: 0, runningSinceMs: null };

/**
 * Begins in `holding` unless the record is empty or shows an orderly, unmitigated stop: what happened while
 * nobody watched is unknown, and unknown is never safe. A compressor of unknown history counts as just off.
 */
export function powerUpState(circuits: number, powerUp: PowerUp, now: Ms): MitigationState {
  const isNew = powerUp.record === 'empty';
  return {
    phase: phaseAtPowerUp(powerUp.record, now),
    standing: [],
    commands: allOff(circuits),
    compressors: Array.from({ length: circuits }, () => ({
      on: false,
      sinceMs: isNew ? Number.NEGATIVE_INFINITY : now,
    })),
    tripsAtMs: powerUp.tripAgesMs.map((ageMs) => (now - ageMs) as Ms).sort((a, b) => a - b),
    tripCounted: powerUp.tripCounted,
    resetWasHeld: true,
    airflowMissingSinceMs: null,
    airflowUnaskedSinceMs: null,
    runningUnaskedSinceMs: Array.from({ length: circuits }, () => null),
  };
}

function phaseAtPowerUp(record: PowerUp['record'], sinceMs: Ms): Phase {
  switch (record) {
    case 'empty':
    case 'orderly':
      return { kind: 'starting', sinceMs };
    case 'disorderly':
      return { kind: 'holding', sinceMs, hold: NOT_BEGUN };
    case 'lockedOut':
      return { kind: 'lockedOut', sinceMs, hold: NOT_BEGUN };
  }
}

/** What is left behind by whoever can decide nothing any more: as gas would have it, or a fire. */
export function leftSafe({ phase, commands }: MitigationState): Commands {
  const off = allOff(commands.compressors.length);
  if (phase.kind === 'fire') return { ...off, alarm: true, trouble: true };
  return { ...off, fan: true, damper: true, alarm: commands.alarm, trouble: true };
}

export function allOff(circuits: number): Commands {
  return {
    fan: false,
    damper: false,
    heat: false,
    alarm: false,
    trouble: false,
    compressors: Array.from({ length: circuits }, () => false),
  };
}
