/** The profiles that come with the bench, the reference sensor's codec, and values to start from. */
import {
  compileCodec,
  loadProfileFile,
  type Profile,
  profileFile,
  type SensorCodec,
  type SensorValues,
} from '../../../src/sensor/index.ts';

export function shippedProfile(name: string): Profile {
  const read = loadProfileFile(profileFile(name, '.') ?? '');
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  return read.value;
}

export function referenceProfile(): Profile {
  return shippedProfile('reference');
}

export function referenceCodec(): SensorCodec {
  return compileCodec(referenceProfile());
}

/** A sensor at rest: no gas, self-test passed. */
export const AT_REST: SensorValues = {
  state: 'measuring',
  gasBit: false,
  selfTestPassed: true,
  failedBit: false,
  serviceDue: false,
  saturated: false,
  gasPercentLfl: 0,
  gasPercentVol: 0,
  setpointPercentLfl: 20,
  faultCode: 0,
  hours: 0,
  serviceDaysLeft: 5475,
  temperatureC: 20,
  counter: 0,
  refrigerant: 'R-32',
  serial: '240811',
};
