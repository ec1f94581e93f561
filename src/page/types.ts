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

export interface WorldSensor {
  /** True gas at the sensor. */
  readonly gas: number;
  readonly testGas: number | null;
  readonly powered: boolean;
  readonly lamp: Lamp | null;
  readonly faults: readonly {
    readonly kind: string;
    readonly parameters: Readonly<Record<string, unknown>>;
  }[];
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
  /** null where the sensors and the equipment run elsewhere. */
  readonly world: World | null;
  /** null where the controller runs elsewhere. */
  readonly supervisor: Supervisor | null;
}

export interface RigSensor {
  readonly id: string;
  readonly at: string;
  readonly kind: 'modbus' | 'contact';
  readonly where: string;
}

export interface FaultKind {
  readonly kind: string;
  readonly targets: readonly string[];
  readonly meaning: string;
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
  readonly cautions: readonly string[];
}

/** How the page stands to the bench's event stream. */
export type Link = 'connecting' | 'live' | 'lost';
