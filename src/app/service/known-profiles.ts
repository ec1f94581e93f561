/** Every profile that comes with the bench, compiled. */
import {
  compileCodec,
  loadProfileFile,
  profileFile,
  type SensorCodec,
  shippedProfiles,
} from '../../sensor/index.ts';

export function shippedCodecs(): readonly SensorCodec[] {
  return shippedProfiles().map((name) => {
    const file = profileFile(name, '');
    const read = file === null ? null : loadProfileFile(file);
    if (read?.ok !== true) throw new Error(`the shipped profile ${name} cannot be read`);
    return compileCodec(read.value);
  });
}
