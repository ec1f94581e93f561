/** What is wired to the field I/O's inputs: equipment, contact sensors, and whoever calls or presses. */
import type { ContactSensor, Rig } from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';
import { isContactClosed } from '../device/index.ts';
import { airflowReads, isBlowing, type Plant, type Wired } from '../equipment/index.ts';
import type { Fault } from '../faults/index.ts';
import type { Atmosphere } from './atmosphere.ts';

/** Of the world, as much as has a wire to the field I/O. */
interface Surroundings {
  readonly rig: Rig;
  readonly nowMs: Ms;
  readonly plant: Plant;
  readonly atmosphere: Atmosphere;
  readonly faults: ReadonlyMap<string, readonly Fault[]>;
  readonly calls: { readonly cooling: boolean; readonly heating: boolean; readonly fan: boolean };
  readonly serviceReset: boolean;
  readonly fire: boolean;
  readonly powered: boolean;
  readonly unpowered: ReadonlySet<string>;
}

/** A contact, and its index among the rig's sensors. */
export type WiredContact = readonly [ContactSensor, number];

const S_PER_H = 3600;

export function contactsOf({ sensors }: Rig): readonly WiredContact[] {
  return sensors.flatMap((sensor, index) => (sensor.kind === 'contact' ? [[sensor, index] as const] : []));
}

export function wiredNow(world: Surroundings, contacts: readonly WiredContact[]): Wired {
  const blowing = isBlowing(world.plant, world.nowMs);
  // Field by field, since a spread would make every poll of the field I/O twice as dear.
  return {
    cooling: world.calls.cooling,
    heating: world.calls.heating,
    fanCall: world.calls.fan,
    airflow: airflowReads(blowing, world.faults),
    serviceReset: world.serviceReset,
    fire: world.fire,
    airflowM3PerH: blowing ? world.rig.fan.airflowM3PerS * S_PER_H : 0,
    contactClosed: contacts.map(([sensor, index]) => [sensor.input, isClosed(world, sensor, index)] as const),
    compressorRunning: world.plant.compressorRunning,
  };
}

function isClosed(world: Surroundings, sensor: ContactSensor, index: number): boolean {
  return isClosedAt(world, sensor, world.atmosphere.sensed(index, world.nowMs));
}

/** How it stands with so much gas at it, in %LFL. */
export function isClosedAt(
  { rig, powered, unpowered, faults }: Pick<Surroundings, 'rig' | 'powered' | 'unpowered' | 'faults'>,
  sensor: ContactSensor,
  sensed: number,
): boolean {
  const hasSupply = powered && !unpowered.has(sensor.id);
  return isContactClosed(sensor, sensed, rig.policy.setpoint, hasSupply, faults.get(sensor.id) ?? []);
}
