/** A rig made of options, for figures without a rig file: a room, a unit, one sensor in its cabinet. */
import { streamAirflow } from '../../figures/index.ts';
import { nearestFirst } from '../../files/index.ts';
import { type Refrigerant, ROWS, refrigerantFrom, rowNamed } from '../../refrigerant/index.ts';
import { buildRig } from '../../rig/build.ts';
import type { Rig } from '../../rig/index.ts';
import { noSuchSource } from '../../rig/refrigerant-of.ts';
import { rigSchema } from '../../rig/schema.ts';
import { type Dimension, parseQuantity } from '../../units/index.ts';
import { EXIT, Stop } from '../stop.ts';

export interface CaseOptions {
  readonly refrigerant?: string;
  readonly lflFrom?: string;
  readonly charge?: string;
  readonly area?: string;
  readonly height?: string;
  readonly outsideAir?: string;
  readonly airflow?: string;
}

export interface RigOfOptions {
  readonly rig: Rig;
  /** Without --airflow the fan moves what the stricter of the published forms asks for. */
  readonly airflowTold: boolean;
}

/** Stops with one line on an option that is missing, unknown, or of the wrong dimension. */
export function rigOfOptions(options: CaseOptions): RigOfOptions {
  const missing = (['refrigerant', 'charge', 'area', 'height'] as const).filter(
    (option) => options[option] === undefined,
  );
  if (missing.length > 0) {
    const flags = missing.map((option) => `--${option}`).join(', ');
    throw new Stop(EXIT.usage, `figures takes a rig file, or a case: ${flags} missing; see figures --help`);
  }
  const refrigerant = refrigerantOption(options);
  const chargeKg = quantityOption('--charge', options.charge, 'mass');
  const floorM2 = quantityOption('--area', options.area, 'area');
  const heightM = quantityOption('--height', options.height, 'length');
  const airChanges = outsideOption(options.outsideAir, floorM2 * heightM);
  const airflow =
    options.airflow === undefined
      ? streamAirflow(chargeKg, refrigerant.lflKgPerM3, 0.25) / S_PER_H
      : quantityOption('--airflow', options.airflow, 'airflow');
  // Written again with units, because a rig is only ever made of what its file may say.
  const written = rigSchema.parse({
    rig: 1,
    name: `${refrigerant.name} by options`,
    refrigerant: refrigerant.name,
    charge: `${chargeKg} kg`,
    room: { floor: `${floorM2} m2`, height: `${heightM} m`, airChanges: `${airChanges} /s` },
    fan: { airflow: `${airflow} m3/s` },
    sensors: [{ id: 'sensor', at: 'cabinet', kind: 'contact', input: 8 }],
  });
  return {
    rig: buildRig(written, 'command line', refrigerant, new Map()),
    airflowTold: options.airflow !== undefined,
  };
}

const S_PER_H = 3600;

/** Of any class that burns: figures compare, though a rig file takes class A2L alone. */
function refrigerantOption({ refrigerant: name = '', lflFrom }: CaseOptions): Refrigerant {
  const row = rowNamed(name);
  const [first] = row?.lfls ?? [];
  if (row === undefined || first === undefined) {
    const names = nearestFirst(
      name,
      ROWS.filter(({ lfls }) => lfls.length > 0).map((each) => each.name),
    ).join(', ');
    const why = row === undefined ? 'is not in the table' : 'is of class A1, which does not burn';
    const advice = `write one of ${names} (nearest in spelling first; each is another fluid), or bring your own in a rig file`;
    throw new Stop(EXIT.usage, `--refrigerant: "${name}" ${why}; ${advice}`);
  }
  const found = refrigerantFrom(row, lflFrom ?? first.id);
  if (found !== undefined) return found;
  throw new Stop(EXIT.usage, `--lfl-from: ${noSuchSource(row, lflFrom ?? '')}`);
}

function quantityOption(flag: string, text: string | undefined, dimension: Dimension): number {
  const value = parseQuantity(text, dimension);
  if (typeof value !== 'number') throw new Stop(EXIT.usage, `${flag} ${text ?? ''}: ${value.problem}`);
  if (value > 0) return value;
  throw new Stop(EXIT.usage, `${flag} ${text ?? ''}: must be more than zero`);
}

/** As a flow or as air changes, in air changes a second; none where nothing was said. */
function outsideOption(text: string | undefined, volumeM3: number): number {
  if (text === undefined) return 0;
  const changes = parseQuantity(text, 'frequency');
  const flow = parseQuantity(text, 'airflow');
  if (typeof changes !== 'number' && typeof flow !== 'number') {
    throw new Stop(
      EXIT.usage,
      `--outside-air ${text}: takes air changes, such as 2/h, or a flow: ${flow.problem}`,
    );
  }
  const perS = typeof changes === 'number' ? changes : Number(flow) / volumeM3;
  if (perS >= 0) return perS;
  throw new Stop(EXIT.usage, `--outside-air ${text}: cannot be negative`);
}
