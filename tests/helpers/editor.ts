/** What an editor that follows the published JSON Schemas has against a file. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { Ajv, type ValidateFunction } from 'ajv';
import formats from 'ajv-formats';
import { parse } from 'yaml';
import { drillJsonSchema } from '../../sim/drill/json-schema.ts';
import { type JsonSchema, packageRoot } from '../../src/files/index.ts';
import { rigJsonSchema } from '../../src/rig/json-schema.ts';
import { profileJsonSchema } from '../../src/sensor/json-schema.ts';

/** By the ending of the files: where it is published, and what makes it. */
export const FILE_SCHEMAS = {
  drill: { file: 'sim/drill/drill.schema.json', make: drillJsonSchema },
  profile: { file: 'src/sensor/profile.schema.json', make: profileJsonSchema },
  rig: { file: 'src/rig/rig.schema.json', make: rigJsonSchema },
} as const satisfies Record<string, { readonly file: string; readonly make: () => JsonSchema }>;

export type FileKind = keyof typeof FILE_SCHEMAS;

const compiled = new Map<FileKind, ValidateFunction>();

/** Empty where it has nothing against it. */
export function editorSays(kind: FileKind, text: string): readonly string[] {
  let check = compiled.get(kind);
  if (check === undefined) {
    const ajv = new Ajv({ allErrors: true, allowUnionTypes: true });
    formats.default(ajv);
    const published = readFileSync(join(packageRoot(), FILE_SCHEMAS[kind].file), 'utf8');
    check = ajv.compile(JSON.parse(published) as object);
    compiled.set(kind, check);
  }
  check(parse(text));
  return (check.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message ?? ''}`);
}
