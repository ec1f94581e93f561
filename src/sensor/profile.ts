/**
 * Profile files: which register of a sensor holds which point, and what its lamp shows.
 * The reference sensor is itself such a file.
 */
import { readdirSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import { z } from 'zod';
import { about, type FileOutcome, packageRoot, quantity, readYamlFile, VERSION } from '../files/index.ts';
import { claimProblems, type ProfileProblem } from './claims.ts';
import { type Point, pointProblem, pointSchema, registerAddress, registerValue } from './point.ts';
import { POINT_KINDS, type PointName, STATE_BITS } from './points.ts';

const HZ = 'takes blinks a second, a bare number from 0, for steady, to 2.8';
const WORD = 'takes a text: what the lamp says';

const LAMP = 'takes { colour, hz, word }, such as { colour: red, hz: 2, word: gas }';

const lampSchema = z.strictObject(
  {
    colour: z.enum(['off', 'white', 'green', 'red', 'yellow', 'blue']),
    hz: z
      .number({ error: HZ })
      .min(0, { error: HZ })
      .max(2.8, { error: HZ })
      .describe('flashes a second; 0 is steady'),
    word: z.string({ error: WORD }).min(1, { error: WORD }).describe('the word that goes with the colour'),
  },
  { error: ({ code }) => (code === 'invalid_type' ? LAMP : undefined) },
);

const pointNames = Object.keys(POINT_KINDS) as [PointName, ...PointName[]];

const commandsSchema = z.strictObject({
  newAddress: z
    .strictObject({ address: registerAddress })
    .describe('takes the address to be used from the next power-up on')
    .optional(),
  command: z
    .strictObject({
      address: registerAddress,
      values: z.strictObject({
        selfTest: registerValue.optional(),
        restart: registerValue.optional(),
        identify: registerValue.optional(),
      }),
    })
    .describe('takes a number that starts something')
    .optional(),
  writeKey: z
    .strictObject({
      address: registerAddress,
      value: registerValue,
      opensFor: about(quantity('time', { least: '1 s', most: '1 h' }), 'how long a new address is taken'),
    })
    .describe('has to be written before a new address is taken')
    .optional(),
});

export const pointsSchema = z.partialRecord(z.enum(pointNames), pointSchema);

const NAME = 'takes a text that names the sensor';
const UNIT = 'takes a Modbus address, 1 to 247';

export const profileSchema = z
  .strictObject({
    profile: z.literal(1, VERSION).describe('the version of the format'),
    name: z.string({ error: NAME }).min(1, { error: NAME }).describe('what people call it'),
    factoryAddress: z
      .int({ error: UNIT, abort: true })
      .min(1, { error: UNIT })
      .max(247, { error: UNIT })
      .describe('the Modbus address of a new one'),
    addressSetBy: z.enum(['register', 'switch', 'part']).describe('what gives it another address'),
    gaps: z
      .enum(['read', 'skip'])
      .describe('whether one read may span registers that no point names; many a sensor refuses that')
      .default('read'),
    points: pointsSchema.describe('which register holds what'),
    commands: commandsSchema.describe('registers that may be written').optional(),
    lamp: z
      .strictObject({
        noPower: lampSchema,
        warmingUp: lampSchema,
        measuring: lampSchema,
        gas: lampSchema,
        failed: lampSchema,
        serviceDue: lampSchema,
        identify: lampSchema,
      })
      .describe('what its lamp shows'),
  })
  .superRefine((profile, context) => {
    // Each part must be sound before they are held against each other, or the same mistake is told twice.
    if (context.issues.length > 0) return;
    const unsound = pointProblems(profile.points);
    const claimed = unsound.length > 0 ? [] : claimProblems(profile.points, profile.commands ?? {});
    for (const { path, message } of [...unsound, ...claimed, ...wholeProblems(profile)]) {
      context.addIssue({ code: 'custom', path: [...path], message });
    }
  });

function pointProblems(points: Written['points']): readonly ProfileProblem[] {
  return Object.entries(points).flatMap(([name, point]) => {
    const message = pointProblem(name as PointName, point);
    return message === null ? [] : [{ path: ['points', name], message }];
  });
}

interface Written {
  readonly points: Partial<Record<PointName, Point>>;
  readonly commands?: z.infer<typeof commandsSchema> | undefined;
  readonly addressSetBy: 'register' | 'switch' | 'part';
}

/** What a profile must say as a whole. */
function wholeProblems({ points, commands, addressSetBy }: Written): readonly ProfileProblem[] {
  const problems: ProfileProblem[] = [];
  const say = (path: readonly string[], message: string): void => {
    problems.push({ path, message });
  };
  if (points.state === undefined && STATE_BITS.some((bit) => points[bit] === undefined)) {
    say(['points'], `needs a point "state", or the bits that say it together: ${STATE_BITS.join(', ')}`);
  }
  if (points.gasPercentLfl === undefined) {
    say(['points'], 'needs a point "gasPercentLfl"; its scale can turn ppm or counts into %LFL');
  }
  if (addressSetBy === 'register' && commands?.newAddress === undefined) {
    say(['addressSetBy'], 'register needs "commands" with "newAddress"; or write switch or part');
  }
  for (const name of ['newAddress', 'writeKey'] as const) {
    if (addressSetBy === 'register' || commands?.[name] === undefined) continue;
    say(['commands', name], `has no use where the address is set by ${addressSetBy}; leave it out`);
  }
  return problems;
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
