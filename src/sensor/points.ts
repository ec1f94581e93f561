/** What a sensor can say of itself: one shape, whatever registers a maker puts it in. */

export const SENSOR_STATES = ['warming-up', 'measuring', 'gas', 'failed'] as const;
export type SensorState = (typeof SENSOR_STATES)[number];

/**
 * A zero drifts a little, and that is a number. What reads lower measures nothing: it is an under-range, or
 * the code of an error. A choice of ours (common practice, no source).
 */
export const PERCENT_LFL_LEAST = -10;

/** Everything a sensor may publish; what its profile has no point for stays with the sensor. */
export interface SensorValues {
  readonly state: SensorState;
  /** Gas at or above the sensor's own setpoint. */
  readonly gasBit: boolean;
  readonly selfTestPassed: boolean;
  readonly failedBit: boolean;
  readonly serviceDue: boolean;
  readonly saturated: boolean;
  /** %LFL; null where it has no valid reading. */
  readonly gasPercentLfl: number | null;
  /** Percent of volume; null where it has no valid reading. */
  readonly gasPercentVol: number | null;
  readonly setpointPercentLfl: number;
  /** 0 for none. */
  readonly faultCode: number;
  readonly hours: number;
  readonly serviceDaysLeft: number;
  readonly temperatureC: number;
  /** Counts measurements, one a second, and wraps at 65536. */
  readonly counter: number;
  readonly refrigerant: string;
  readonly serial: string;
}

export type PointName = keyof SensorValues;

/** What a client understood of an answer; undefined where the profile has no such point. */
export type SensorAnswer = { readonly [Name in PointName]?: SensorValues[Name] | undefined };

export type PointKind = 'state' | 'flag' | 'number' | 'text';

/** How a point's value is written: `state` by a word, `flag` by a bit, `text` in ASCII, else a number. */
export const POINT_KINDS = {
  state: 'state',
  gasBit: 'flag',
  selfTestPassed: 'flag',
  failedBit: 'flag',
  serviceDue: 'flag',
  saturated: 'flag',
  gasPercentLfl: 'number',
  gasPercentVol: 'number',
  setpointPercentLfl: 'number',
  faultCode: 'number',
  hours: 'number',
  serviceDaysLeft: 'number',
  temperatureC: 'number',
  counter: 'number',
  refrigerant: 'text',
  serial: 'text',
} as const satisfies Record<PointName, PointKind>;

/** What each says, for editors and documents. */
export const POINT_WORDS: Readonly<Record<PointName, string>> = {
  state: 'warming-up, measuring, gas or failed, a word for each',
  gasBit: 'gas at or above its own setpoint',
  selfTestPassed: 'its self-test is passed',
  failedBit: 'it has failed',
  serviceDue: 'due for service',
  saturated: 'its reading is at the end of its range',
  gasPercentLfl: 'gas, %LFL',
  gasPercentVol: 'gas, percent of volume',
  setpointPercentLfl: 'its own setpoint, %LFL',
  faultCode: 'what is wrong with it; 0 for nothing',
  hours: 'hours of operation',
  serviceDaysLeft: 'days of service life left',
  temperatureC: 'temperature, °C',
  counter: 'counts measurements, one a second, and wraps: tells a frozen sensor',
  refrigerant: 'what it is made for',
  serial: 'who it is',
};

/** The bits that say together what a state word would. */
export const STATE_BITS = ['gasBit', 'selfTestPassed', 'failedBit'] as const;

/**
 * The state of a sensor that has bits and no state word; undefined until all of them are known. Gas comes
 * before warming up: whoever reports it while its self-test runs is believed.
 */
export function stateOfBits({ gasBit, selfTestPassed, failedBit }: SensorAnswer): SensorState | undefined {
  if (gasBit === undefined || selfTestPassed === undefined || failedBit === undefined) return undefined;
  if (failedBit) return 'failed';
  if (gasBit) return 'gas';
  return selfTestPassed ? 'measuring' : 'warming-up';
}
