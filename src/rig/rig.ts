/** A described piece of equipment, past the border: every unit settled, every default filled in. */
import type { SerialSettings } from '../modbus/index.ts';
import type { Refrigerant } from '../refrigerant/index.ts';
import type { SensorCodec } from '../sensor/index.ts';
import type { Ms, PercentLfl, UnitId } from '../units/index.ts';
import type { BusAddress } from './address.ts';

export const PLACES = ['cabinet', 'room-low', 'room-high'] as const;
export type Place = (typeof PLACES)[number];

export const LAYERS = ['low', 'high'] as const;
export type Layer = (typeof LAYERS)[number];

/** In the stream of air, or in a pocket beside it that the gas reaches later. */
export const EXPOSURES = ['stream', 'sheltered'] as const;
export type SensorExposure = (typeof EXPOSURES)[number];

export interface Rig {
  readonly name: string;
  /** Path it was read from. */
  readonly file: string;
  readonly refrigerant: Refrigerant;
  /** Charge of each circuit, kg. */
  readonly chargeKg: number;
  readonly room: {
    readonly floorM2: number;
    readonly heightM: number;
    readonly airChangesPerS: number;
    /** Left out: one well-mixed room. */
    readonly layers?: Layers;
  };
  readonly cabinet: {
    readonly volumeM3: number;
    /** Air exchanged between cabinet and room while the fan is off, m3/s. */
    readonly leakageM3PerS: number;
  };
  readonly fan: { readonly airflowM3PerS: number; readonly spinUpMs: Ms };
  /** One compressor each. */
  readonly circuits: readonly string[];
  /** Whether the unit has a heat source, all of them as one output. */
  readonly heat: boolean;
  readonly lines: readonly Line[];
  readonly sensors: readonly Sensor[];
  readonly fieldIo: { readonly line: string; readonly unitId: UnitId; readonly watchdogMs: Ms };
  readonly policy: Policy;
}

/** A room whose air lies in two layers while the fan stands still; the gas model says what flows how. */
export interface Layers {
  /** Height of the low one. */
  readonly lowM: number;
  /** Exchange between the two while the fan stands still, m3/s. */
  readonly mixingM3PerS: number;
  /** What runs out of the bottom of the cabinet into the low one meanwhile, m3/s. */
  readonly drainM3PerS: number;
  /** Whose air the fan takes; where outside air comes in; where as much leaves. */
  readonly returnFrom: Layer;
  readonly outsideInto: Layer;
  readonly outsideOutOf: Layer;
}

/** One Modbus segment. */
export interface Line {
  readonly id: string;
  /** Where its devices answer, all at once; `supervisorAddress` says where a supervisor of the bench asks. */
  readonly listen: readonly BusAddress[];
  /** Peers that may connect; empty allows all. */
  readonly allow: readonly string[];
  readonly pollEveryMs: Ms;
  readonly timeoutMs: Ms;
  readonly retries: number;
  /** Modbus TCP goes through a gateway to a serial line; null where it does not. */
  readonly pace: Pace | null;
}

export interface Pace extends SerialSettings {
  /** How long the gateway waits for a device. */
  readonly timeoutMs: Ms;
}

export type Sensor = ModbusSensor | ContactSensor;

interface AnySensor {
  readonly id: string;
  readonly at: Place;
  /** Left out: in the stream. */
  readonly exposure?: SensorExposure;
  /** Time to 90 % of a step (t90 of IEC 60079-29-1), its dead time included. */
  readonly responseT90Ms: Ms;
  /** How long nothing shows at all of what is at its inlet; shorter than responseT90Ms. */
  readonly deadTimeMs: Ms;
  /** null where the plan names none: then any serial is right. A contact's stands on its label alone. */
  readonly serial: string | null;
  /** Day of installation, YYYY-MM-DD. */
  readonly installed: string | null;
  readonly service: Service;
}

/** What a service record keeps of a part beside who and since when it is. */
export interface Service {
  /** Number or name that the part is ordered by. */
  readonly part: string | null;
  readonly lifeMs: Ms;
  readonly checkEveryMs: Ms;
  /** Day of its last check, YYYY-MM-DD. */
  readonly checked: string | null;
}

export interface ModbusSensor extends AnySensor {
  readonly kind: 'modbus';
  readonly line: string;
  readonly unitId: UnitId;
  readonly codec: SensorCodec;
  /** Length of the self-test after power-up. */
  readonly selfTestMs: Ms;
  /** Standard deviation of its reading from one measurement, one a second, to the next. */
  readonly noisePercentLfl: number;
  /** What a year does to its reading; null: nothing. */
  readonly driftPerYear: DriftPerYear | null;
  /** Its age as the bench begins; null: told by `installed`, and in a drill, which has no date, new. */
  readonly ageMs: Ms | null;
  /** On the bench it starts without supply, at its factory address: a person has yet to plug it in. */
  readonly outOfBox: boolean;
}

export interface DriftPerYear {
  /** Added to what it reads, gas or no gas; below zero it reads less. */
  readonly zeroPercentLfl: number;
  /** Of the gas, as a share: -0.02 reads 2 % less a year. */
  readonly spanShare: number;
}

export interface ContactSensor extends AnySensor {
  readonly kind: 'contact';
  /** Discrete input of the field I/O that it is wired to. */
  readonly input: number;
  readonly contact: 'opens-on-gas' | 'closes-on-gas';
}

/** What a controller of this rig must keep to. */
export interface Policy {
  readonly setpoint: PercentLfl;
  readonly clearBelow: PercentLfl;
  readonly holdMs: Ms;
  readonly silentAfterMs: Ms;
  readonly askWithinMs: Ms;
  readonly respondWithinMs: Ms;
  readonly fanProofWithinMs: Ms;
  readonly compressorMinOffMs: Ms;
  readonly resumeWithinMs: Ms;
  readonly latchAfter: { readonly trips: number; readonly withinMs: Ms } | null;
}
