/** What a controller is told and what it answers: one JSON object a line, as the line protocol has it. */

/** Limits in %LFL and milliseconds. */
export interface Policy {
  readonly setpointPercentLfl: number;
  readonly clearBelowPercentLfl: number;
  readonly holdMs: number;
  readonly silentAfterMs: number;
  readonly fanProofWithinMs: number;
  readonly compressorMinOffMs: number;
  /** null where gas, however often, locks nothing out. */
  readonly latchTrips: number | null;
  readonly latchWithinMs: number | null;
}

export type PlannedSensor =
  | { readonly id: string; readonly kind: 'modbus'; readonly serial: string | null }
  | { readonly id: string; readonly kind: 'contact'; readonly contact: 'opens-on-gas' | 'closes-on-gas' };

/** The first line after each power-up. */
export interface Plan {
  readonly policy: Policy;
  readonly sensors: readonly PlannedSensor[];
  readonly circuits: readonly string[];
}

/** What one sensor brought in this cycle. */
export interface Told {
  readonly answered: boolean;
  readonly state?: 'warming-up' | 'measuring' | 'gas' | 'failed';
  readonly gasPercentLfl?: number | null;
  readonly gasBit?: boolean;
  readonly selfTestPassed?: boolean;
  readonly counter?: number | null;
  readonly serial?: string | null;
  /** Of a contact sensor, and nothing else of it. */
  readonly closed?: boolean;
}

/** Each line after that. */
export interface Cycle {
  /** ms; goes on over a power cut. */
  readonly t: number;
  readonly sensors: Readonly<Record<string, Told>>;
  readonly calls: { readonly cooling: boolean; readonly heating: boolean; readonly fan: boolean };
  readonly airflowProven: boolean;
  readonly serviceReset: boolean;
  readonly fire: boolean;
}

export interface Commands {
  readonly fan: boolean;
  readonly damper: boolean;
  readonly heat: boolean;
  readonly alarm: boolean;
  readonly trouble: boolean;
  readonly compressors: Readonly<Record<string, boolean>>;
}
