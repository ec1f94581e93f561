/** One virtual sensor to play with: the reference profile in R-32, setpoint 20 %LFL. */
import {
  type Device,
  type DeviceFacts,
  newDevice,
  powerUp,
  setFaults,
  valuesOf,
} from '../../../sim/device/index.ts';
import { FAULTS, type Fault, type FaultKind } from '../../../sim/faults/index.ts';
import { type Refrigerant, refrigerantNamed } from '../../../src/refrigerant/index.ts';
import { type ModbusSensor, UNTOLD } from '../../../src/rig/index.ts';
import { compileCodec, type Profile, type SensorValues } from '../../../src/sensor/index.ts';
import { ms, percentLfl, unitId } from '../../../src/units/index.ts';
import { referenceProfile } from '../../src/sensor/reference.ts';

/** When a test looks, unless it says otherwise: long after the self-test. */
export const NOW = ms(100_000);

export function r32(): Refrigerant {
  const found = refrigerantNamed('R-32');
  if (found === undefined) throw new Error('R-32 is in the table');
  return found;
}

export const FACTS: DeviceFacts = {
  setpoint: percentLfl(20),
  refrigerant: r32(),
  serviceDaysLeft: 5475,
  ageDays: 0,
};

/** Read once: a property makes a device in every run. */
const REFERENCE = referenceProfile();

export function plan(profile = REFERENCE): ModbusSensor {
  return {
    kind: 'modbus',
    id: 'coil-a',
    at: 'cabinet',
    line: 'main',
    unitId: unitId(11),
    codec: compileCodec(profile),
    ...UNTOLD,
    serial: '240811',
    outOfBox: false,
    ageMs: null,
    noisePercentLfl: 0,
    driftPerYear: null,
    responseT90Ms: ms(10_000),
    deadTimeMs: ms(0),
    selfTestMs: ms(4000),
  };
}

/** Powered at zero. */
export function device(profile?: Profile): Device {
  const made = newDevice(plan(profile));
  powerUp(made, ms(0));
  return made;
}

/** A fault as a drill would bring it, its parameters checked. */
export function fault(kind: FaultKind, parameters: Readonly<Record<string, unknown>> = {}): Fault {
  return { kind, parameters: FAULTS[kind].parameters.parse(parameters), probability: 1 } as Fault;
}

/** What it publishes with gas at its element. */
export function read(one: Device, sensed: number, now = NOW, scatter = 0, facts = FACTS): SensorValues {
  return valuesOf(one, sensed, facts, now, scatter);
}

/** Puts faults in force while it senses so much gas. */
export function give(one: Device, faults: readonly Fault[], sensed = 0, now = NOW): void {
  setFaults(one, faults, sensed, FACTS, now);
}
