/** The rig file as a JSON Schema; names and addresses only the bench can hold against each other. */
import { type JsonSchema, jsonSchemaOf } from '../files/index.ts';
import { rigSchema } from './schema.ts';

export function rigJsonSchema(): JsonSchema {
  return { title: 'A rig of leakbench', ...jsonSchemaOf(rigSchema) };
}
