/**
 * What the page reads of the bench: the answers of GET /api/v1/rig and /api/v1/now.
 * Units: times in ms of bench time, gas in %LFL, airflow in m3/h, mass in kg.
 */

export interface Lamp {
  readonly colour: 'off' | 'white' | 'green' | 'red' | 'yellow' | 'blue';
  /** Flashes a second; 0 is steady. */
  readonly hz: number;
  readonly word: string;
}

export interface StandingFault {
  readonly kind: string;
  readonly parameters: Readonly<Record<string, unknown>>;
}

export interface WorldSensor {
  /** True gas at the sensor. */
  readonly gas: number;
  readonly testGas: number | null;
  readonly lamp: Lamp | null;
  readonly faults: readonly StandingFault[];
}

export interface World {
  readonly cabinet: number;
  readonly room: number;
  readonly releaseGPerS: number;
  readonly chargeLeftKg: number;
  readonly airflowM3PerH: number;
  readonly airflowProven: boolean;
  readonly sensors: Readonly<Record<string, WorldSensor>>;
  readonly terminals: Readonly<Record<string, boolean>>;
  readonly compressorRunning: Readonly<Record<string, boolean>>;
  readonly calls: { readonly cooling: boolean; readonly heating: boolean; readonly fan: boolean };
  readonly fire: boolean;
  readonly unpowered: readonly string[];
  /** Faults that stand in something else than a sensor, by part. */
  readonly equipmentFaults: Readonly<Record<string, readonly StandingFault[]>>;
}

export interface Belief {
  readonly state: string;
  readonly gas: number | null;
  /** Since its last good answer; null before the first. */
  readonly ageMs: number | null;
  readonly answering: boolean;
  readonly hazards: readonly { readonly hazard: string; readonly text: string }[];
}

export type MitigationPhase = 'starting' | 'running' | 'mitigating' | 'holding' | 'lockedOut' | 'fire';

export interface Supervisor {
  readonly state: MitigationPhase;
  readonly sinceMs: number;
  /** null where no hold runs or waits. */
  readonly holdLeftMs: number | null;
  readonly holdRunning: boolean;
  readonly sensors: Readonly<Record<string, Belief>>;
  readonly commands: Readonly<Record<string, { readonly on: boolean; readonly because: readonly string[] }>>;
}

export interface Snapshot {
  /** Sequence of the last stored event that this picture includes. */
  readonly sequence: number;
  readonly nowMs: number;
  readonly speed: number;
  readonly paused: boolean;
  /** The clock runs on to the next event and then stands still. */
  readonly stepping: boolean;
  /** Why nothing can be recorded, and so nothing is released. */
  readonly recordTrouble: string | null;
  /** null where the sensors and the equipment run elsewhere. */
  readonly world: World | null;
  /** null where the controller runs elsewhere. */
  readonly supervisor: Supervisor | null;
  /** null where the sensors run elsewhere. */
  readonly wire: { readonly units: readonly WireUnit[] } | null;
  /** null where none was played since the last fresh start. */
  readonly drill: DrillStatus | null;
}

export type PollOutcome = 'answered' | 'silent' | 'exception' | 'broken' | 'waiting';

/** What was asked of one unit of a line lately. */
export interface WireUnit {
  /** A sensor, or `fieldIo`. */
  readonly name: string;
  readonly line: string;
  readonly unitId: number;
  /** Newest last. */
  readonly recent: readonly { readonly atMs: number; readonly outcome: PollOutcome }[];
}

export interface DrillStatus {
  /** null for one that was given as text. */
  readonly id: string | null;
  readonly name: string;
  readonly why: string;
  readonly state: 'playing' | 'judged' | 'stopped';
  readonly beganAtMs: number;
  readonly lengthMs: number;
  /** atMs counts from the beginning of the drill. */
  readonly steps: readonly { readonly atMs: number; readonly text: string; readonly done: boolean }[];
  readonly lesson: boolean;
  readonly verdict: 'held' | 'broken' | null;
}

/** The answer of GET /api/v1/drill. */
export interface DrillReport extends DrillStatus {
  readonly notes: readonly string[];
  readonly rules: readonly {
    readonly id: string;
    readonly result: 'held' | 'broken' | 'not exercised' | 'not applicable';
    /** Seconds to the limit. */
    readonly margin: number | null;
    readonly unit: 's';
    /** From the beginning of the drill. */
    readonly atMs: number | null;
    readonly sensor: string | null;
    readonly because: readonly string[];
  }[];
  readonly expectations: readonly {
    readonly text: string;
    readonly result: 'held' | 'broken';
    readonly because: readonly string[];
  }[];
}

/** Of GET /api/v1/drills. */
export interface DrillListing {
  readonly id: string;
  readonly name: string;
  readonly why: string;
  readonly lengthMs: number;
  readonly lesson: boolean;
  /** Why it cannot be played on this rig; null where it can. */
  readonly fits: string | null;
}

/** The answer of GET /api/v1/recording. */
export interface Recording {
  readonly steps: number;
  readonly fromMs: number;
  /** A drill file. */
  readonly text: string;
}

export interface RigSensor {
  readonly id: string;
  readonly at: string;
  readonly kind: 'modbus' | 'contact';
  readonly where: string;
  /** null for a contact, or where the plan names none. */
  readonly serial: string | null;
  /** null for a contact. */
  readonly unitId: number | null;
  readonly line: string | null;
}

export interface FaultParameter {
  readonly name: string;
  /** In words, such as "a time, such as 30 s". */
  readonly takes: string;
  /** A value to begin with, as it is written; a bare number is sent as a number. */
  readonly example: string | null;
  /** The words it takes; null where it takes more than a few. */
  readonly choices: readonly string[] | null;
  readonly optional: boolean;
  /** Of a fault that stands it comes in ms. */
  readonly time: boolean;
}

export interface FaultKind {
  readonly kind: string;
  readonly targets: readonly string[];
  readonly meaning: string;
  /** When its chance is drawn, where one is given. */
  readonly chance: 'each request' | 'once';
  readonly parameters: readonly FaultParameter[];
}

export interface RigView {
  readonly name: string;
  readonly refrigerant: { readonly name: string; readonly lflKgPerM3: number; readonly source: string };
  readonly chargeKg: number;
  readonly room: { readonly floorM2: number; readonly heightM: number; readonly volumeM3: number };
  readonly cabinet: { readonly volumeM3: number };
  readonly fan: { readonly airflowM3PerH: number; readonly spinUpMs: number };
  readonly circuits: readonly string[];
  readonly heat: boolean;
  readonly lines: readonly { readonly id: string; readonly address: string }[];
  readonly sensors: readonly RigSensor[];
  readonly policy: Readonly<Record<string, unknown>>;
  readonly setpoint: { readonly percentLfl: number; readonly clearBelow: number; readonly source: string };
  readonly warnings: readonly string[];
  readonly faultKinds: readonly FaultKind[];
  /** Where gas can be released or measured. */
  readonly places: readonly string[];
  readonly cautions: readonly string[];
}

/** How the page stands to the bench's event stream; `locked`: the bench wants a token, and has no right one. */
export type Link = 'connecting' | 'live' | 'lost' | 'locked';
