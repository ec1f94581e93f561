/**
 * The outside trace of a drill: all that a judge may know. Every signal is piecewise constant and
 * right-continuous; times are bench time, ms. A signal has its first value at `startMs`.
 */
export interface Change<Value> {
  readonly atMs: number;
  readonly value: Value;
}

export type Signal<Value> = readonly Change<Value>[];

export interface Trace {
  readonly startMs: number;
  readonly endMs: number;
  /** In the rig's order. */
  readonly sensors: readonly SensorTrace[];
  /**
   * Commands in force at the field I/O, by output (fan, damper, heat, alarm, trouble, compressor.CIRCUIT):
   * as the controller wrote them, or as the watchdog holds them when it writes too rarely.
   */
  readonly outputs: ReadonlyMap<string, Signal<boolean>>;
  /** By input: airflow, fire, serviceReset, call.cooling, call.heating, call.fan. */
  readonly inputs: ReadonlyMap<string, Signal<boolean>>;
  /** True while the watchdog holds the outputs, complete writes not having come in its time. */
  readonly watchdogHolds: Signal<boolean>;
  /** True while there is power. */
  readonly rigPower: Signal<boolean>;
  readonly controllerPower: Signal<boolean>;
  /** False while the field I/O left requests unanswered, where that lasted `silentAfter`. */
  readonly fieldIoAnswers: Signal<boolean>;
  /** True from each request that the field I/O left unanswered to its next answer, however soon it came. */
  readonly fieldIoOwes: Signal<boolean>;
  /** True while the watchdog holds the outputs, a request to the field I/O having been lost just before. */
  readonly commandsLost: Signal<boolean>;
  /** False where the bench asks in the controller's place, as for a command in virtual time. */
  readonly asksItself: boolean;
}

export interface SensorTrace {
  readonly id: string;
  readonly kind: 'modbus' | 'contact';
  /** The planned serial; null where the rig plans none or the sensor cannot tell its own. */
  readonly serial: string | null;
  /** Every request for it, in order: to its planned address, or of the inputs that hold its contact. */
  readonly requests: readonly Request[];
  /** True gas at the sensor, %LFL. */
  readonly gas: Signal<number>;
  /** False while it, or its wire, has a fault, or it has no supply of its own. */
  readonly sound: Signal<boolean>;
  /** False while it has no power, of its own or of the rig. */
  readonly powered: Signal<boolean>;
}

export interface Request {
  readonly atMs: number;
  /** null where none came that fits the request, and shows a state. */
  readonly answer: Answer | null;
  /** One came, and nobody could tell a state from all that was read so far. */
  readonly stateless?: true;
}

/** What a sensor said. A contact says gas or measuring, and has nothing but its state. */
export interface Answer {
  readonly atMs: number;
  readonly state: 'warming-up' | 'measuring' | 'gas' | 'failed';
  readonly gasBit: boolean;
  readonly selfTestPassed: boolean;
  /** %LFL; null for no valid number, undefined where it shows none. */
  readonly gasPercentLfl: number | null | undefined;
  readonly counter: number | undefined;
  readonly serial: string | undefined;
}
