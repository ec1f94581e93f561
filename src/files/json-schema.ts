/**
 * zod schemas of files as JSON Schemas, for editors: draft 7, which they all speak.
 *
 * Of transforms and refinements a JSON Schema sees nothing: what it cannot say it leaves open, so that it
 * never refuses what the bench takes. Defaults stand there as a person would write them.
 */
import { z } from 'zod';

export type JsonSchema = z.core.JSONSchema.BaseSchema;

/** `spellOut` says more of single schemas than they say themselves. */
export function jsonSchemaOf(
  schema: z.ZodType,
  spellOut: (zodSchema: z.core.$ZodType, jsonSchema: JsonSchema) => void = () => undefined,
): JsonSchema {
  return z.toJSONSchema(schema, {
    io: 'input',
    target: 'draft-7',
    unrepresentable: 'any',
    override({ zodSchema, jsonSchema }) {
      withoutObviousBounds(jsonSchema);
      spellOut(zodSchema, jsonSchema);
    },
  });
}

/** That a whole number is one which JSON can carry goes without saying. */
export function withoutObviousBounds(schema: JsonSchema): void {
  if (schema.minimum === Number.MIN_SAFE_INTEGER) delete schema.minimum;
  if (schema.maximum === Number.MAX_SAFE_INTEGER) delete schema.maximum;
}

/** Says what a key is for, before what it takes. */
export function about<Schema extends z.ZodType>(schema: Schema, words: string): Schema {
  const takes = schema.meta()?.description;
  return schema.meta({ description: takes === undefined ? words : `${words}: ${takes}` });
}
