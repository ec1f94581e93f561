/**
 * The profile file as a JSON Schema, each point under its own name; what points must say together only the
 * bench can check.
 */
import { type JsonSchema, jsonSchemaOf } from '../files/index.ts';
import { pointSchema } from './point.ts';
import { POINT_KINDS, POINT_WORDS, type PointName } from './points.ts';
import { pointsSchema, profileSchema } from './profile.ts';

export function profileJsonSchema(): JsonSchema {
  const point = jsonSchemaOf(pointSchema);
  delete point.$schema;
  const profile = jsonSchemaOf(profileSchema, (zodSchema, points) => {
    if (zodSchema !== pointsSchema) return;
    points.properties = Object.fromEntries(
      (Object.keys(POINT_KINDS) as PointName[]).map((name) => [
        name,
        { ...point, description: `${POINT_KINDS[name]}: ${POINT_WORDS[name]}` },
      ]),
    );
    points.additionalProperties = false;
    delete points.propertyNames;
  });
  return { title: 'A sensor profile of leakbench', ...profile };
}
