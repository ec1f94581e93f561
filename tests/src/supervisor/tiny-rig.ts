/** The demo rig as scenarios want it, and what its sensors say. */
import type { Policy, Rig } from '../../../src/rig/index.ts';
import type { SensorState, SensorValues } from '../../../src/sensor/index.ts';
import { type Ms, ms } from '../../../src/units/index.ts';
import { demoRig } from '../../helpers/demo.ts';

/** The demo rig with another policy, or otherwise changed. */
export function rigWith(policy: Partial<Policy> = {}, change: (rig: Rig) => Partial<Rig> = () => ({})): Rig {
  const demo = demoRig();
  const rig = { ...demo, policy: { ...demo.policy, ...policy } };
  return { ...rig, ...change(rig) };
}

/** The demo rig, polled half as often: long scenarios need half the time. */
export function slowly(policy: Partial<Policy> = {}): Rig {
  return rigWith(policy, ({ lines }) => ({
    lines: lines.map((line) => ({ ...line, pollEveryMs: ms(2000) })),
  }));
}

/** The demo rig with `coil-b` on a line of its own; the first, with the field I/O, polls as told. */
export function onTwoLines(pollEveryMs: Ms): Rig {
  return rigWith({}, ({ lines, sensors }) => ({
    lines: [
      ...lines.map((line) => ({ ...line, pollEveryMs })),
      ...lines.map((line) => ({ ...line, id: 'second' })),
    ],
    sensors: sensors.map((one) => (one.id === 'coil-b' ? { ...one, line: 'second' } : one)),
  }));
}

/** What a sensor says; `answers: false` says nothing at all. */
export interface Says {
  answers: boolean;
  state: SensorState;
  gas: number | null;
  gasBit: boolean;
  selfTestPassed: boolean;
  counterStands: boolean;
  serial: string;
}

export const SOUND: Says = {
  answers: true,
  state: 'measuring',
  gas: 0,
  gasBit: false,
  selfTestPassed: true,
  counterStands: false,
  serial: '',
};

/** Everything a sensor publishes that says so; its counter goes with time. */
export function valuesOf(says: Says, now: Ms): SensorValues {
  return {
    state: says.state,
    gasBit: says.gasBit,
    selfTestPassed: says.selfTestPassed,
    failedBit: says.state === 'failed',
    serviceDue: false,
    saturated: false,
    gasPercentLfl: says.gas,
    gasPercentVol: null,
    setpointPercentLfl: 20,
    faultCode: 0,
    hours: 0,
    serviceDaysLeft: 5475,
    temperatureC: 20,
    counter: says.counterStands ? 7 : Math.floor(now / 1000) % 0x10000,
    refrigerant: 'R-32',
    serial: says.serial,
  };
}
