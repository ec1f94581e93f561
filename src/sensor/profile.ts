/**
 * Profile files: which register of a sensor holds which point, and what its lamp shows.
 * The reference sensor is itself such a file.
 */
import { readdirSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { z } from 'zod';
import { type FileOutcome, packageRoot, quantity, readYamlFile } from '../files/index.ts';
import { type Point, pointProblem, pointSchema, registerAddress, registerValue, wordsOf } from './point.ts';
import { POINT_KINDS, type PointName } from './points.ts';

const lampSchema = z.strictObject({
  colour: z.enum(['off', 'white', 'green', 'red', 'yellow', 'blue']),
  hz: z.number().min(0).max(2.8),
  word: z.string().min(1),
});

const pointNames = Object.keys(POINT_KINDS) as [PointName, ...PointName[]];

const profileSchema = z
  .strictObject({
    profile: z.literal(1),
    name: z.string().min(1),
    factoryAddress: z.int().min(1).max(247),
    addressSetBy: z.enum(['register', 'switch', 'part']),
    points: z.partialRecord(z.enum(pointNames), pointSchema),
    commands: z.strictObject({
      newAddress: z.strictObject({ address: registerAddress }),
      command: z.strictObject({
        address: registerAddress,
        values: z.strictObject({
          selfTest: registerValue,
          restart: registerValue,
          identify: registerValue,
        }),
      }),
      writeKey: z.strictObject({
        address: registerAddress,
        value: registerValue,
        opensFor: quantity('time'),
      }),
    }),
    lamp: z.strictObject({
      noPower: lampSchema,
      warmingUp: lampSchema,
      measuring: lampSchema,
      gas: lampSchema,
      failed: lampSchema,
      serviceDue: lampSchema,
      identify: lampSchema,
    }),
  })
  .superRefine((profile, context) => {
    // Each part must be sound before they are held against each other, or the same mistake is told twice.
    if (context.issues.length > 0) return;
    for (const [name, point] of Object.entries(profile.points)) {
      const problem = pointProblem(name as PointName, point);
      if (problem !== null) context.addIssue({ code: 'custom', path: ['points', name], message: problem });
    }
    const claims = claimsOf(profile);
    claims.forEach((claim, index) => {
      const other = claims.slice(0, index).find((earlier) => clash(earlier, claim));
      if (other === undefined) return;
      const message = `takes a register of ${other.path.join('.')}; give one of them another address`;
      context.addIssue({ code: 'custom', path: [...claim.path], message });
    });
    if (profile.points.state === undefined) {
      context.addIssue({ code: 'custom', path: ['points'], message: 'needs a point "state"' });
    }
  });

interface Claim {
  readonly path: readonly [string, string];
  readonly table: Point['table'];
  readonly first: number;
  readonly last: number;
  readonly isFlag: boolean;
}

function claimsOf(written: {
  readonly points: Partial<Record<PointName, Point>>;
  readonly commands: Readonly<Record<string, { readonly address: number }>>;
}): readonly Claim[] {
  const commands = Object.entries(written.commands).map(
    ([name, { address }]): Claim => ({
      path: ['commands', name],
      table: 'holding',
      first: address,
      last: address,
      isFlag: false,
    }),
  );
  const points = Object.entries(written.points).map(
    ([name, point]): Claim => ({
      path: ['points', name],
      table: point.table,
      first: point.address,
      last: point.address + wordsOf(point) - 1,
      isFlag: POINT_KINDS[name as PointName] === 'flag',
    }),
  );
  return [...commands, ...points];
}

/** Two that claim one register; flags may share theirs. */
function clash(one: Claim, other: Claim): boolean {
  const apart = one.table !== other.table || one.first > other.last || other.first > one.last;
  return !apart && !(one.isFlag && other.isFlag);
}

export type Profile = z.infer<typeof profileSchema>;
export type Lamp = z.infer<typeof lampSchema>;
export type LampMeaning = keyof Profile['lamp'];

const SHIPPED = '.profile.yaml';
const shippedFolder = (): string => join(packageRoot(), 'src/sensor/profiles');

/** Names of the profiles that come with the bench. */
export function shippedProfiles(): readonly string[] {
  const files = readdirSync(shippedFolder()).filter((file) => file.endsWith(SHIPPED));
  return files.map((file) => file.slice(0, -SHIPPED.length));
}

/** The file of a profile: a shipped one by its name, another by its path from the file that names it. */
export function profileFile(nameOrPath: string, fromFile: string): string | null {
  if (/\.ya?ml$/u.test(nameOrPath)) return resolve(dirname(fromFile), nameOrPath);
  return shippedProfiles().includes(nameOrPath) ? join(shippedFolder(), nameOrPath + SHIPPED) : null;
}

export function loadProfileFile(file: string): FileOutcome<Profile> {
  const read = readYamlFile(file, profileSchema);
  return read.ok ? { ok: true, value: read.value.value, warnings: read.warnings } : read;
}
