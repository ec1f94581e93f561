/** What a person may fill in for a fault, as the rows of the table have it. */
import { z } from 'zod';
import { switchSchema } from '../../src/files/index.ts';
import { isTime, type Row } from './row.ts';

export interface ParameterTold {
  readonly name: string;
  /** In words. */
  readonly takes: string;
  /** A value to begin with, as a person writes it; null where it depends on the rig. */
  readonly example: string | null;
  /** The words it takes; null where it takes more than a few. */
  readonly choices: readonly string[] | null;
  readonly optional: boolean;
  /** Taken, it is in ms. */
  readonly time: boolean;
}

/** In the order of the row. */
export function parametersTold({ parameters }: Row): readonly ParameterTold[] {
  return Object.entries(parameters.shape as Readonly<Record<string, z.ZodType>>).map(([name, schema]) => {
    const { description, examples } = schema.meta() ?? {};
    const [example] = (examples ?? []) as readonly (string | number)[];
    return {
      name,
      takes: description ?? '',
      example: example === undefined ? null : String(example),
      choices: choicesOf(schema),
      optional: schema.safeParse(undefined).success,
      time: isTime(schema),
    };
  });
}

function choicesOf(schema: z.ZodType): readonly string[] | null {
  if (schema instanceof z.ZodOptional || schema instanceof z.ZodDefault) {
    return choicesOf(schema.unwrap() as z.ZodType);
  }
  if (schema === switchSchema) return ['on', 'off'];
  return schema instanceof z.ZodEnum ? schema.options.map(String) : null;
}
