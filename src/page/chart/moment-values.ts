/** What all lanes and bands say at one moment, for the readout and for those who hear it. */
import type { History } from '../data/history.ts';
import { inForce } from '../data/timed.ts';
import { C } from '../texts/index.ts';
import type { RigSensor } from '../types.ts';
import type { Band } from './bands.tsx';
import { isOnAt } from './curve.ts';
import { curvesOf } from './lane.tsx';
import type { PicturedRig } from './plot.tsx';

/** null is no reading; undefined is not known. */
export interface SensorValues {
  readonly id: string;
  readonly gas: number | null | undefined;
  readonly reading: number | null | undefined;
  /** It reports gas, with or without a number. */
  readonly saysGas: boolean;
}

export function sensorAt(history: History, sensor: RigSensor, atMs: number): SensorValues {
  const { gas, reading } = curvesOf(history, sensor);
  const stands = (hazard: string): boolean =>
    history.hazards.some(
      (span) =>
        span.subject === sensor.id &&
        span.hazard === hazard &&
        span.fromMs <= atMs &&
        (span.toMs === null || span.toMs > atMs),
    );
  return {
    id: sensor.id,
    gas: inForce(gas, atMs)?.value,
    reading: stands('silent') ? null : inForce(reading, atMs)?.value,
    saysGas: stands('gas'),
  };
}

/** Nothing is known of a band before the run began. */
export function bandAt({ beganAtMs }: History, band: Band, atMs: number): boolean | undefined {
  return beganAtMs !== null && atMs < beganAtMs ? undefined : isOnAt(band.switches, band.onNow, atMs);
}

/** So many can be listened to one by one. */
const SENSORS_SPOKEN_MAX = 4;

export function spokenAt(
  rig: PicturedRig,
  history: History,
  bands: readonly Band[],
  atMs: number,
  events: readonly string[],
): string {
  const sensors = rig.sensors.map((sensor) => sensorAt(history, sensor, atMs));
  const on = bands.filter((band) => bandAt(history, band, atMs) === true).map(({ name }) => name);
  return C.spoken(C.at(atMs), [...events, ...spokenSensors(rig, sensors), C.spokenOn(on)]);
}

function spokenSensors({ setpoint }: PicturedRig, sensors: readonly SensorValues[]): readonly string[] {
  if (sensors.length <= SENSORS_SPOKEN_MAX) {
    return sensors.map(({ id, gas, reading, saysGas }) => C.spokenSensor(id, gas, reading, saysGas));
  }
  const highest = sensors.reduce((best, one) => ((one.gas ?? 0) > (best.gas ?? 0) ? one : best));
  const above = sensors.filter(({ reading, saysGas }) => saysGas || (reading ?? 0) >= setpoint.percentLfl);
  return [C.spokenHighest(highest.id, highest.gas ?? 0, above.length, sensors.length)];
}
