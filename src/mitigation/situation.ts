/** What the mitigation machine sees: every sensor and the equipment, as belief has settled them. */
import type { Finding, PlantInputs } from '../belief/index.ts';
import type { Ms, PercentLfl } from '../units/index.ts';

export interface SensorSituation {
  readonly id: string;
  readonly findings: readonly Finding[];
  /** Gas at or above the setpoint as of the last good answer. */
  readonly gasNow: boolean;
  /** Self-test passed since its own and our power-up; a contact has none to pass. */
  readonly passed: boolean;
  /** When it was last heard to be well; null where it is not. */
  readonly wellAtMs: Ms | null;
  readonly gasPercentLfl: number | null;
  readonly silentSinceMs: Ms | null;
}

export interface Situation {
  readonly sensors: readonly SensorSituation[];
  readonly plant: {
    /** False once the field I/O has been silent too long, or was never heard. */
    readonly heard: boolean;
    readonly silentSinceMs: Ms | null;
    /** As last heard; null before the first time. */
    readonly inputs: PlantInputs | null;
    /** When they last said airflow; null before the first time. */
    readonly airflowProvenAtMs: Ms | null;
    /** Commands read back were not those written. */
    readonly overwritten: boolean;
    /** Since when writes come to nothing, or to half of it; null while they are taken. */
    readonly untakenSinceMs: Ms | null;
    /** By circuit: since when the field I/O has certainly held it off; null while it may hold it on. */
    readonly compressorOffSinceMs: readonly (Ms | null)[];
  };
}

/**
 * The part of a rig's policy that the machine acts on; limits for others to judge by are not its business.
 */
export interface MitigationPolicy {
  /** Names of the circuits, in the rig's order. */
  readonly circuits: readonly string[];
  /** Whether there is a heat source to command. */
  readonly heat: boolean;
  readonly setpoint: PercentLfl;
  readonly clearBelow: PercentLfl;
  readonly holdMs: Ms;
  readonly fanProofWithinMs: Ms;
  readonly compressorMinOffMs: Ms;
  readonly latchAfter: { readonly trips: number; readonly withinMs: Ms } | null;
}
