/** The world as a picture at one moment, for the page and the API. */
import type { Ms } from '../../src/units/index.ts';
import { lampOf } from '../device/index.ts';
import { outputsByName } from './tell.ts';
import type { World } from './world.ts';

const G_PER_KG = 1000;

export interface WorldPicture {
  /** %LFL. */
  cabinet: number;
  room: number;
  releaseGPerS: number;
  chargeLeftKg: number;
  airflowM3PerH: number;
  airflowProven: boolean;
  sensors: Record<string, SensorPicture>;
  terminals: Record<string, boolean>;
  compressorRunning: Record<string, boolean>;
  calls: { cooling: boolean; heating: boolean; fan: boolean };
  fire: boolean;
  unpowered: string[];
  /** Faults that stand in something else than a sensor, by part. */
  equipmentFaults: Record<string, FaultPicture[]>;
}

interface FaultPicture {
  kind: string;
  parameters: Record<string, unknown>;
}

interface SensorPicture {
  gas: number;
  testGas: number | null;
  powered: boolean;
  lamp: { colour: 'off' | 'white' | 'green' | 'red' | 'yellow' | 'blue'; hz: number; word: string } | null;
  faults: FaultPicture[];
}

export function pictureOf(world: World, now: Ms): WorldPicture {
  const { rig, atmosphere } = world;
  const wired = world.wired();
  const sensors = rig.sensors.map((sensor, index): [string, SensorPicture] => {
    const unit = world.units.find((one) => one.index === index);
    return [
      sensor.id,
      {
        gas: atmosphere.trueGas(index, now),
        testGas: atmosphere.testGas(index),
        powered: world.isSupplied(sensor.id),
        lamp: unit === undefined ? null : lampOf(unit.device, world.valuesOf(unit), now),
        faults: standingIn(world, sensor.id),
      },
    ];
  });
  const sensorsById = Object.fromEntries(sensors);
  return {
    ...atmosphere.zones(now),
    releaseGPerS: atmosphere.releaseKgPerS(now) * G_PER_KG,
    chargeLeftKg: atmosphere.chargeLeftKg(now),
    airflowM3PerH: wired.airflowM3PerH,
    airflowProven: wired.airflow,
    sensors: sensorsById,
    terminals: outputsByName(world.terminals, rig.circuits),
    compressorRunning: Object.fromEntries(
      rig.circuits.map((circuit, index) => [circuit, wired.compressorRunning[index] === true]),
    ),
    calls: { ...world.calls },
    fire: world.fire,
    unpowered: [...world.unpowered],
    equipmentFaults: Object.fromEntries(
      [...world.faults.keys()].flatMap((part) => {
        const faults = standingIn(world, part);
        return part in sensorsById || faults.length === 0 ? [] : [[part, faults]];
      }),
    ),
  };
}

function standingIn(world: World, part: string): FaultPicture[] {
  return (world.faults.get(part) ?? []).map(({ kind, parameters }) => ({ kind, parameters }));
}
