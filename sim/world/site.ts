/**
 * The world as a person stands before it: what can be seen, felt and measured, and nothing that has to be
 * concluded. No fault is named here, and no sensor's true gas: a portable tells what is in a place's air.
 */
import { PLACES, type Place } from '../../src/rig/index.ts';
import type { Lamp } from '../../src/sensor/index.ts';
import type { Ms } from '../../src/units/index.ts';
import { lampOf } from '../device/index.ts';
import { isBlowing } from '../equipment/index.ts';
import { type Fault, faultOf } from '../faults/index.ts';
import { outputsByName } from './tell.ts';
import type { World } from './world.ts';

export interface Site {
  /** The supply of the whole rig. */
  readonly powered: boolean;
  readonly controllerPowered: boolean;
  /** In the rig's order. */
  readonly sensors: readonly SensorSite[];
  readonly fanTurns: boolean;
  readonly airMoves: boolean;
  readonly airflowSwitchClosed: boolean;
  readonly heating: boolean;
  readonly compressorRunning: readonly boolean[];
  readonly calls: { readonly cooling: boolean; readonly heating: boolean; readonly fan: boolean };
  readonly fire: boolean;
  /** What stands at each output terminal, by its name. */
  readonly outputs: Readonly<Record<string, boolean>>;
  readonly portable: readonly { readonly at: Place; readonly percentLfl: number }[];
}

export interface SensorSite {
  readonly id: string;
  /** Where it is mounted, wherever the plan wants it. */
  readonly at: Place;
  /** How its power switch stands. */
  readonly switchedOn: boolean;
  /** Whether the supply arrives at its own terminals. */
  readonly supplied: boolean;
  /** The address that is set in it; null on a contact sensor. */
  readonly address: number | null;
  /** null on a contact sensor. */
  readonly lamp: Lamp | null;
  /** null on a Modbus sensor. */
  readonly contact: ContactSite | null;
}

/** A loop of two wires, and what a meter finds at either end of it. */
export interface ContactSite {
  /** At the field I/O: false for an open loop. */
  readonly inputClosed: boolean;
  /** Whether there is a voltage to measure at the sensor: none where the contact is closed or cut off. */
  readonly liveAtSensor: boolean;
}

export function siteOf(world: World, now: Ms): Site {
  const { rig, plant, atmosphere } = world;
  const wired = world.wired();
  const closed = new Map(wired.contactClosed);
  const sensors = rig.sensors.map((sensor, index): SensorSite => {
    const faults = world.faults.get(sensor.id) ?? [];
    const unit = world.units.find((one) => one.index === index);
    return {
      id: sensor.id,
      at: faultOf(faults, 'misplaced')?.parameters.at ?? sensor.at,
      switchedOn: !world.unpowered.has(sensor.id),
      supplied: world.isSupplied(sensor.id),
      address: unit === undefined ? null : unit.device.address,
      lamp: unit === undefined ? null : lampOf(unit.device, world.valuesOf(unit), now),
      contact: sensor.kind === 'contact' ? contactOf(closed.get(sensor.input) === true, faults) : null,
    };
  });
  return {
    powered: world.powered,
    controllerPowered: world.powered && !world.unpowered.has('controller'),
    sensors,
    fanTurns: plant.fanSinceMs !== null,
    airMoves: isBlowing(plant, now),
    airflowSwitchClosed: wired.airflow,
    heating: plant.heating,
    compressorRunning: plant.compressorRunning,
    calls: { ...world.calls },
    fire: world.fire,
    outputs: outputsByName(world.terminals, rig.circuits),
    portable: PLACES.map((at) => ({ at, percentLfl: atmosphere.gasAt(at, now) })),
  };
}

/** Where a wire is broken or bridged, the loop's voltage does not reach the contact itself. */
function contactOf(inputClosed: boolean, faults: readonly Fault[]): ContactSite {
  const reached = faultOf(faults, 'wire-open') === undefined && faultOf(faults, 'wire-short') === undefined;
  return { inputClosed, liveAtSensor: reached && !inputClosed };
}
