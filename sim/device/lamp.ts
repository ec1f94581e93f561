/** What a sensor's lamp shows, by the lamp code of its profile. */
import type { Lamp, LampMeaning, SensorValues } from '../../src/sensor/index.ts';
import type { Ms } from '../../src/units/index.ts';
import type { Device } from './device.ts';

/** Colour, flash rate and word: the profile has one row for each meaning, because makers differ. */
export function lampOf(device: Device, values: SensorValues, now: Ms): Lamp {
  return device.plan.codec.profile.lamp[meaningOf(device, values, now)];
}

/** Strongest first: a lamp shows one thing. To find a sensor comes before what it says, for 30 s. */
function meaningOf(device: Device, values: SensorValues, now: Ms): LampMeaning {
  if (device.poweredSinceMs === null) return 'noPower';
  if (now < device.identifyUntilMs) return 'identify';
  switch (values.state) {
    case 'failed':
      return 'failed';
    case 'gas':
      return 'gas';
    case 'warming-up':
      return 'warmingUp';
    case 'measuring':
      return values.serviceDue ? 'serviceDue' : 'measuring';
  }
}
