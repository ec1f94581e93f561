/**
 * The drill file as a JSON Schema, for editors: draft 7, which they all speak. It is the zod schema, its
 * steps spelled out; what depends on the rig (names, times within the drill) only the bench itself can tell.
 */
import { z } from 'zod';
import { FAULT_KINDS, FAULTS, type FaultKind } from '../faults/index.ts';
import { drillSchema, stepAtSchema } from './drill-schema.ts';
import { FAULT_FIELDS, stepSchema } from './step-schema.ts';

type JsonSchema = z.core.JSONSchema.BaseSchema;

export function drillJsonSchema(): JsonSchema {
  return { title: 'A drill of leakbench', ...jsonOf(drillSchema) };
}

function jsonOf(schema: z.ZodType): JsonSchema {
  return z.toJSONSchema(schema, {
    io: 'input',
    target: 'draft-7',
    unrepresentable: 'any',
    override({ zodSchema, jsonSchema }) {
      if (zodSchema === stepAtSchema) spellOut(jsonSchema);
      // The default of a quantity is what it is past the border, not what a person would write.
      if (jsonSchema.type === undefined) delete jsonSchema.default;
    },
  });
}

/** A step is its moment and one of the keys of a step; a fault takes what its kind takes. */
function spellOut(step: JsonSchema): void {
  const { properties, oneOf } = jsonOf(stepSchema);
  const fault = { oneOf: FAULT_KINDS.map(faultOf) };
  step.properties = { ...step.properties, ...properties, fault };
  if (oneOf !== undefined) step.oneOf = oneOf;
  step.additionalProperties = false;
}

function faultOf(kind: FaultKind): JsonSchema {
  const { parameters, meaning } = FAULTS[kind];
  const shape = { ...FAULT_FIELDS, kind: z.literal(kind), ...parameters.shape };
  const fault = jsonOf(z.strictObject(shape));
  // Only a whole schema says which draft it is of.
  delete fault.$schema;
  return { ...fault, description: meaning };
}
