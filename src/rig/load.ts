/** Reads a rig file: schema, then the checks that need the whole, then warnings. */
import {
  type FileOutcome,
  type FileProblem,
  type Locate,
  parseYaml,
  readYamlFile,
  suggestion,
  type YamlFile,
} from '../files/index.ts';
import { percentLflOf } from '../refrigerant/index.ts';
import {
  compileCodec,
  loadProfileFile,
  type Point,
  profileFile,
  type SensorCodec,
  shippedProfiles,
  wordsOf,
} from '../sensor/index.ts';
import { formatGas } from '../units/index.ts';
import { buildRig } from './build.ts';
import { checkReferences, type Report } from './references.ts';
import { refrigerantOf } from './refrigerant-of.ts';
import type { Rig } from './rig.ts';
import { type RigFile, rigSchema } from './schema.ts';
import { warningsOf } from './warnings.ts';

/** What else a caller has to say of a rig: path and sentence. */
export type Remarks = (rig: Rig) => readonly (readonly [readonly PropertyKey[], string])[];

export function loadRig(file: string, remarks?: Remarks): FileOutcome<Rig> {
  return rigFrom(file, readYamlFile(file, rigSchema), remarks);
}

/** The rig that a file would be with another text. */
export function rigOfText(file: string, text: string): FileOutcome<Rig> {
  return rigFrom(file, parseYaml(file, text, rigSchema));
}

function rigFrom(
  file: string,
  read: FileOutcome<YamlFile<RigFile>>,
  remarks: Remarks = () => [],
): FileOutcome<Rig> {
  if (!read.ok) return read;
  const { value: written, locate } = read.value;
  const problems: FileProblem[] = [];
  const report: Report = (path, message) => {
    problems.push(locate(path, message));
  };

  const refrigerant = refrigerantOf(written.refrigerant, report);
  checkReferences(written, report);
  const codecs = codecsOf(written, file, problems, locate);
  checkSerials(written, codecs, report);
  if (refrigerant === null || problems.length > 0) return { ok: false, problems };

  const rig = buildRig(written, file, refrigerant, codecs);
  checkPolicy(rig, report);
  checkNoise(rig, report);
  if (problems.length > 0) return { ok: false, problems };
  const remarked = remarks(rig).map(([path, message]) => locate(path, message));
  return { ok: true, value: rig, warnings: [...warningsOf(rig, locate), ...remarked] };
}

/** Every profile of the rig, compiled once; a broken one is told at the first sensor that names it. */
function codecsOf(
  written: RigFile,
  rigFile: string,
  problems: FileProblem[],
  locate: Locate,
): ReadonlyMap<string, SensorCodec> {
  const codecs = new Map<string, SensorCodec>();
  const tried = new Set<string>();
  written.sensors.forEach((sensor, index) => {
    if (sensor.kind === 'contact' || tried.has(sensor.profile)) return;
    const { profile } = sensor;
    tried.add(profile);
    const path = ['sensors', index, 'profile'];
    const file = profileFile(profile, rigFile);
    if (file === null) {
      const near = suggestion(profile, shippedProfiles());
      const advice = 'name a file of your own by its path, ending in .yaml';
      problems.push(locate(path, `no profile "${profile}" comes with the bench (${near}); ${advice}`));
      return;
    }
    const read = loadProfileFile(file);
    if (read.ok) codecs.set(profile, compileCodec(read.value));
    else
      problems.push(locate(path, `"${profile}" cannot be used; its own problems follow`), ...read.problems);
  });
  return codecs;
}

/** A serial that does not fit its registers would come back shorter: a stranger for ever. */
function checkSerials(written: RigFile, codecs: ReadonlyMap<string, SensorCodec>, report: Report): void {
  written.sensors.forEach((sensor, index) => {
    if (sensor.kind === 'contact' || sensor.serial === undefined) return;
    const point: Point | undefined = codecs.get(sensor.profile)?.profile.points.serial;
    if (point === undefined || sensor.serial.length <= 2 * wordsOf(point)) return;
    report(
      ['sensors', index, 'serial'],
      `takes at most ${2 * wordsOf(point)} characters with profile ${sensor.profile}`,
    );
  });
}

/** A choice of ours, no source: more than this scatters over all there is to read. */
const NOISE_MOST = 100;

function checkNoise({ sensors }: Rig, report: Report): void {
  sensors.forEach((sensor, index) => {
    if (sensor.kind === 'contact' || sensor.noisePercentLfl <= NOISE_MOST) return;
    report(['sensors', index, 'noise'], `takes at most ${formatGas(NOISE_MOST)}`);
  });
}

/** A choice of ours, no source: no sensor of the bench resolves less than a tenth of it. */
const SETPOINT_LEAST = 1;

function checkPolicy(rig: Rig, report: Report): void {
  const { setpoint, clearBelow } = rig.policy;
  const pure = percentLflOf(rig.refrigerant.vapourKgPerM3, rig.refrigerant);
  if (setpoint >= pure) {
    const most = `${Math.floor(pure)} %LFL is pure ${rig.refrigerant.name} vapour`;
    report(['policy', 'setpoint'], `can never be reached; ${most}`);
  }
  if (setpoint < SETPOINT_LEAST) {
    report(['policy', 'setpoint'], `is ${Number(setpoint.toPrecision(2))} %LFL; write 1 %LFL or more`);
    return;
  }
  if (clearBelow > setpoint) {
    report(
      ['policy', 'clearBelow'],
      `${formatGas(clearBelow)} is above the setpoint; write ${formatGas(setpoint)} or less`,
    );
  }
  if (clearBelow === 0)
    report(['policy', 'clearBelow'], 'takes more than zero, or nothing would ever be clear');
}
