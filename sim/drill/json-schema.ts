/**
 * The drill file as a JSON Schema: the zod schema, its steps spelled out; what depends on the rig (names,
 * times within the drill) only the bench itself can tell.
 */
import { z } from 'zod';
import { type JsonSchema, jsonSchemaOf } from '../../src/files/index.ts';
import { FAULT_KINDS, FAULTS, type FaultKind } from '../faults/index.ts';
import { drillSchema, stepAtSchema } from './drill-schema.ts';
import { FAULT_FIELDS, stepSchema } from './step-schema.ts';

export function drillJsonSchema(): JsonSchema {
  const drill = jsonSchemaOf(drillSchema, (zodSchema, step) => {
    if (zodSchema !== stepAtSchema) return;
    const { properties, oneOf } = stepJsonSchema();
    step.properties = { ...step.properties, ...properties };
    if (oneOf !== undefined) step.oneOf = oneOf;
    step.additionalProperties = false;
  });
  return { title: 'A drill of leakbench', ...drill };
}

/** A step without its moment: one of its keys; a fault takes what its kind takes. */
export function stepJsonSchema(): JsonSchema {
  const step = partOf(stepSchema);
  return { ...step, properties: { ...step.properties, fault: { oneOf: FAULT_KINDS.map(faultOf) } } };
}

function faultOf(kind: FaultKind): JsonSchema {
  const { parameters, meaning } = FAULTS[kind];
  const shape = { ...FAULT_FIELDS, kind: z.literal(kind), ...parameters.shape };
  return { ...partOf(z.strictObject(shape)), description: meaning };
}

/** Only a whole schema says which draft it is of. */
function partOf(schema: z.ZodType): JsonSchema {
  const part = jsonSchemaOf(schema);
  delete part.$schema;
  return part;
}
