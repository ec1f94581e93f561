/** One row of the fault table. */
import { z } from 'zod';

export type FaultTarget = 'sensor' | 'contact' | 'fan' | 'airflow' | 'compressor' | 'output' | 'fieldIo';

export interface Row<Shape extends z.ZodRawShape = z.ZodRawShape> {
  readonly targets: readonly FaultTarget[];
  /** When its chance is drawn, where it is below 1. */
  readonly drawn: 'once' | 'each request';
  readonly meaning: string;
  readonly parameters: z.ZodObject<Shape>;
  /** The probability where none is given. */
  readonly usually: number;
}

export function row<Shape extends z.ZodRawShape>(
  targets: readonly FaultTarget[],
  drawn: Row['drawn'],
  meaning: string,
  shape: Shape,
  usually = 1,
): Row<Shape> {
  return { targets, drawn, meaning, parameters: z.strictObject(shape), usually };
}

/** Parameters that are times: taken, they are in ms. */
const TIMES = new WeakSet<z.ZodType>();

/** A parameter says what it takes, in words, and names a value to begin with, as a person would write it. */
export function told<Schema extends z.ZodType>(
  schema: Schema,
  takes: string,
  ...examples: readonly (string | number)[]
): Schema {
  return schema.meta({ description: takes, examples: [...examples] });
}

export function toldTime<Schema extends z.ZodType>(schema: Schema, takes: string, example: string): Schema {
  const time = told(schema, takes, example);
  TIMES.add(time);
  return time;
}

export function isTime(schema: z.ZodType): boolean {
  return TIMES.has(schema);
}
