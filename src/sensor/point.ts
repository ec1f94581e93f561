/** One point of a profile: where a value stands in a sensor's registers, and how it is written there. */
import { z } from 'zod';
import { POINT_KINDS, type PointName, SENSOR_STATES } from './points.ts';

const REGISTER_MAX = 0xffff;
const U32_MAX = 0xffffffff;
/** One read takes at most 125 registers (MB-APP 6.3, 6.4), so no text can be longer. */
export const READ_REGISTERS_MAX = 125;

export const registerAddress = z.int().min(0).max(REGISTER_MAX);
export const registerValue = z.int().min(0).max(REGISTER_MAX);

export const pointSchema = z.strictObject({
  table: z.enum(['input', 'holding']),
  address: registerAddress,
  type: z.enum(['u16', 'i16', 'u32', 'ascii']).default('u16'),
  /** Which of a u32's two registers comes first; makers differ. */
  wordOrder: z.enum(['high-first', 'low-first']).default('high-first'),
  /** Which bit of the register, for a flag; 0 is the lowest. */
  bit: z.int().min(0).max(15).optional(),
  /** What one count is worth, in the point's own unit. */
  scale: z.number().positive().default(1),
  /** What the register holds, as it stands on the wire, where there is no valid reading. */
  invalid: z.int().min(0).max(U32_MAX).optional(),
  /** Length of a text, in registers of two characters. */
  words: z.int().min(1).max(READ_REGISTERS_MAX).optional(),
  values: z.partialRecord(z.enum(SENSOR_STATES), registerValue).optional(),
});

export type Point = z.infer<typeof pointSchema>;

/** Registers that a point takes up from its address on. */
export function wordsOf(point: Point): number {
  return point.type === 'u32' ? 2 : (point.words ?? 1);
}

/** What a point of this name must say beside its table and address, or null when it does. */
export function pointProblem(name: PointName, point: Point): string | null {
  if (point.address + wordsOf(point) - 1 > REGISTER_MAX) return 'ends past register 65535';
  const kind = POINT_KINDS[name];
  if (kind === 'text') {
    return point.type === 'ascii' && point.words !== undefined ? null : 'needs "type: ascii" and "words"';
  }
  if (point.words !== undefined) return 'takes no "words"; only a text has a length';
  if (kind === 'number') return numberProblem(point);
  if (point.type !== 'u16') return 'is one register; leave "type" out';
  return kind === 'flag' ? flagProblem(point) : stateProblem(point);
}

function numberProblem({ type, invalid }: Point): string | null {
  if (type === 'ascii') return 'takes type u16, i16 or u32';
  return invalid !== undefined && invalid > REGISTER_MAX && type !== 'u32'
    ? 'has one register, whose "invalid" is 0 to 65535'
    : null;
}

function flagProblem(point: Point): string | null {
  return point.bit === undefined ? 'needs "bit", 0 to 15' : null;
}

function stateProblem({ values = {} }: Point): string | null {
  const missing = SENSOR_STATES.filter((state) => values[state] === undefined);
  if (missing.length > 0) return `needs values for ${missing.join(', ')}`;
  return new Set(Object.values(values)).size < SENSOR_STATES.length
    ? 'has one value for two states; give each its own'
    : null;
}
