/** The samples for CI services, the commands in them, and a repository that they could be for. */
import { cpSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { parse } from 'yaml';
import { packageRoot } from '../../../src/files/index.ts';
import { openPlace, type Place } from './place.ts';

export const CI_SAMPLES = ['src/guides/ci/github-actions.yml', 'src/guides/ci/gitlab-ci.yml'] as const;

interface Job {
  readonly steps?: readonly { readonly run?: string }[];
  readonly script?: readonly string[];
  readonly before_script?: readonly string[];
}

/** In the order of the file, whichever of the two services it is for. */
export function commandsOfSample(file: string): readonly string[] {
  const sample = parse(readFileSync(join(packageRoot(), file), 'utf8')) as { jobs?: Record<string, Job> };
  const jobs = Object.values(sample.jobs ?? (sample as Record<string, Job>));
  return jobs.flatMap(({ steps = [], script = [], before_script = [] }) => [
    ...before_script,
    ...script,
    ...steps.flatMap(({ run }) => (run === undefined ? [] : [run])),
  ]);
}

const MAIN = join(packageRoot(), 'dist/src/app/main.js');
const DRILLS = ['short-leak', 'cut-in-the-hold'];

/** Drills, a controller in Python, and leakbench among its packages, as `npm ci` leaves it. */
export async function openRepository(): Promise<Place> {
  const place = await openPlace([]);
  for (const folder of ['drills', 'controller', 'node_modules/.bin'])
    mkdirSync(join(place.folder, folder), { recursive: true });
  const rig = join(packageRoot(), 'src/rig/tide-street.rig.yaml');
  cpSync(rig, join(place.folder, 'drills/unit.rig.yaml'));
  for (const name of DRILLS) {
    const drill = readFileSync(join(packageRoot(), `sim/drill/library/${name}.drill.yaml`), 'utf8');
    const own = drill.replace(/^rig: .*$/mu, 'rig: ./unit.rig.yaml');
    writeFileSync(join(place.folder, `drills/${name}.drill.yaml`), own);
  }
  cpSync(join(packageRoot(), 'sim/controllers/minimal.py'), join(place.folder, 'controller/main.py'));
  const bin = join(place.folder, 'node_modules/.bin/leakbench');
  writeFileSync(bin, `#!/bin/sh\nexec node ${MAIN} "$@"\n`, { mode: 0o755 });
  return place;
}
