/** One point of a profile: where a value stands in a sensor's tables, and how it is written there. */
import { z } from 'zod';
import { about, switchSchema } from '../files/index.ts';
import { POINT_KINDS, type PointKind, type PointName, SENSOR_STATES } from './points.ts';

const REGISTER_MAX = 0xffff;
const U32_MAX = 0xffffffff;
/** What a register would hardly hold otherwise, as on the wire: the end of each range farthest from zero. */
const UNUSED = { u16: REGISTER_MAX, i16: 0x8000, u32: U32_MAX, i32: 0x80000000 } as const;
/** One read takes at most 125 registers (MB-APP 6.3, 6.4), so no text can be longer. */
export const READ_REGISTERS_MAX = 125;

const ADDRESS =
  'takes a register, 0 to 65535, counted from 0 and without the digit of its table (30011 is 10)';
const VALUE = 'takes what a register holds, 0 to 65535, such as 3 or 0xA21C';
const SCALE = 'takes what one count is worth, a bare number above zero, such as 0.1';
const BIT = 'takes a bit of the register, 0 to 15';
const LENGTH = `takes a number of registers, 1 to ${READ_REGISTERS_MAX}`;
const INVALID = 'takes what stands in the register, 0 to 65535, or to 4294967295 in two; -1 is 65535';

const whole = (least: number, most: number, error: string) =>
  z.int({ error, abort: true }).min(least, { error }).max(most, { error });

export const registerAddress = whole(0, REGISTER_MAX, ADDRESS).describe('PDU address, from 0');
export const registerValue = whole(0, REGISTER_MAX, VALUE).describe('what is written or read there');

export const pointSchema = z.strictObject({
  table: z
    .enum(['input', 'holding', 'discrete', 'coil'])
    .describe('registers (input: FC 04, holding: FC 03), or single bits (discrete: FC 02, coil: FC 01)'),
  address: registerAddress,
  type: z
    .enum(['u16', 'i16', 'u32', 'i32', 'f32', 'ascii'])
    .describe('f32 is a single of IEEE 754, whose NaN says that there is no valid reading')
    .default('u16'),
  wordOrder: z
    .enum(['high-first', 'low-first'])
    .describe('which of a number’s two registers comes first; makers differ')
    .default('high-first'),
  bit: whole(0, 15, BIT).describe('for a flag, which bit of the register; 0 is the lowest').optional(),
  inverted: about(
    switchSchema,
    'a flag that is said by a 0, as a bit "warming up" is an inverted selfTestPassed',
  ).default(false),
  scale: z
    .number({ error: SCALE })
    .min(1e-9, { error: SCALE })
    .max(1e9, { error: SCALE })
    .describe('what one count is worth, in the point’s own unit')
    .default(1),
  invalid: whole(0, U32_MAX, INVALID)
    .describe('what the register holds, as on the wire, where there is no valid reading')
    .optional(),
  words: whole(1, READ_REGISTERS_MAX, LENGTH)
    .describe('length of a text, in registers of two characters')
    .optional(),
  values: z
    .partialRecord(z.enum(SENSOR_STATES), registerValue)
    .describe('the word for each state')
    .optional(),
});

export type Point = z.infer<typeof pointSchema>;

/** Registers by type; a text says its own length. */
const WORDS: Readonly<Record<Point['type'], number>> = { u16: 1, i16: 1, u32: 2, i32: 2, f32: 2, ascii: 1 };

/** Registers, or bits, that a point takes up from its address on. */
export function wordsOf(point: Point): number {
  return point.words ?? WORDS[point.type];
}

export function isBitTable(table: Point['table']): boolean {
  return table === 'discrete' || table === 'coil';
}

/** What a point of this name must say beside its table and address, or null when it does. */
export function pointProblem(name: PointName, point: Point): string | null {
  if (point.address + wordsOf(point) - 1 > REGISTER_MAX)
    return 'ends past register 65535; give it a lower address';
  const kind = POINT_KINDS[name];
  if (isBitTable(point.table) && kind !== 'flag') {
    return `is more than one bit; it takes table input or holding, not ${point.table}`;
  }
  const stray = strayProblem(kind, point);
  if (kind === 'text') {
    const told = point.type === 'ascii' && point.words !== undefined;
    return told ? stray : 'needs "type: ascii" and "words"';
  }
  if (stray !== null) return stray;
  if (kind === 'number') return numberProblem(name, point);
  if (point.type !== 'u16') return 'is one register; leave "type" out';
  return kind === 'flag' ? flagProblem(point) : stateProblem(point);
}

/** What only one kind of point may say: elsewhere it would be taken and forgotten. */
const OWN: readonly (readonly [PointKind, keyof Point, string])[] = [
  ['text', 'words', 'only a text has a length'],
  ['flag', 'bit', 'only a flag is a bit'],
  ['flag', 'inverted', 'only a flag can be inverted'],
  ['state', 'values', 'only the state has words for its values'],
  ['number', 'scale', 'only a number has a scale'],
  ['number', 'invalid', 'only a number can be invalid'],
];

function strayProblem(kind: PointKind, point: Point): string | null {
  const unsaid = { inverted: false, scale: 1 } as Partial<Point>;
  const stray = OWN.find(([owner, key]) => owner !== kind && point[key] !== unsaid[key]);
  return stray === undefined ? null : `takes no "${stray[1]}"; ${stray[2]}`;
}

function numberProblem(name: PointName, { type, invalid }: Point): string | null {
  if (type === 'ascii') return 'takes type u16, i16, u32, i32 or f32';
  if (type === 'f32') {
    return invalid === undefined ? null : 'is NaN where there is no valid reading; leave "invalid" out';
  }
  if (invalid !== undefined && invalid > REGISTER_MAX && WORDS[type] === 1) {
    return 'has one register, whose "invalid" is 0 to 65535';
  }
  // A sensor that has failed would read as clean air.
  const isGas = name === 'gasPercentLfl' || name === 'gasPercentVol';
  return isGas && invalid === undefined
    ? 'needs "invalid": what stands there while there is no valid reading ' +
        `(${UNUSED[type]} where nothing does)`
    : null;
}

function flagProblem({ table, bit }: Point): string | null {
  if (!isBitTable(table)) return bit === undefined ? 'needs "bit", 0 to 15' : null;
  return bit === undefined ? null : `takes no "bit"; each address of table ${table} is one bit`;
}

function stateProblem({ values = {} }: Point): string | null {
  const missing = SENSOR_STATES.filter((state) => values[state] === undefined);
  if (missing.length > 0) return `needs values for ${missing.join(', ')}`;
  return new Set(Object.values(values)).size < SENSOR_STATES.length
    ? 'has one value for two states; give each its own'
    : null;
}
