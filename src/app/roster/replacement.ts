/** A replacement as it was asked for, held against rig and calendar before anybody is asked on a line. */
import { z } from 'zod';
import { suggestion } from '../../files/index.ts';
import type { Rig, Sensor } from '../../rig/index.ts';
import { EXIT, Stop } from '../stop.ts';

export interface Asked {
  readonly serial: string;
  readonly installed?: string;
  readonly made?: string;
}

export interface Replacing {
  readonly sensor: Sensor;
  /** Of the sensor in the rig file. */
  readonly index: number;
  readonly serial: string;
  readonly installed: string;
  readonly made: string | null;
}

/** Throws Stop: a mistake is said with what to write instead. */
export function replacing(rig: Rig, id: string, asked: Asked, today: string): Replacing {
  const index = rig.sensors.findIndex((one) => one.id === id);
  const sensor = rig.sensors[index];
  if (sensor === undefined) {
    const ids = rig.sensors.map((one) => one.id);
    throw new Stop(EXIT.usage, `${rig.file} has no sensor "${id}"; ${suggestion(id, ids)}`);
  }
  const { serial } = asked;
  const installed = asked.installed === undefined ? today : dayOption('--installed', asked.installed, today);
  const made = asked.made === undefined ? null : dayOption('--made', asked.made, today);
  const problem = serialProblem(rig, sensor, serial) ?? dayProblem(sensor, installed, made);
  if (problem !== null) throw new Stop(EXIT.usage, problem);
  return { sensor, index, serial, installed, made };
}

function serialProblem({ sensors, file }: Rig, { id, serial: old }: Sensor, serial: string): string | null {
  if (serial === old) {
    return `--serial ${serial}: ${id} has this serial already, so that nothing was replaced; read the new label`;
  }
  const other = sensors.find((one) => one.serial === serial);
  if (other === undefined) return null;
  return `--serial ${serial} is ${other.id} in ${file}: no two parts have one serial; read the new label`;
}

function dayProblem(sensor: Sensor, installed: string, made: string | null): string | null {
  const { id, installed: before } = sensor;
  if (made !== null && installed < made) {
    return `--installed ${installed} is before the part was made, ${made}; read both days again`;
  }
  if (before !== null && installed < before) {
    return `--installed ${installed} is before the part that it replaces was installed, ${before}; see which is right`;
  }
  if (sensor.kind === 'modbus' && sensor.ageMs !== null) {
    return `the rig file tells the age of ${id} outright: delete its key age there, since a new part has another`;
  }
  return null;
}

const day = z.iso.date();

function dayOption(name: string, written: string, today: string): string {
  if (!day.safeParse(written).success) {
    throw new Stop(EXIT.usage, `${name} ${written}: it takes a day, such as ${today}`);
  }
  if (written <= today) return written;
  throw new Stop(EXIT.usage, `${name} ${written} is still to come: it takes a day up to today, ${today}`);
}
