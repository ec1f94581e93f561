/**
 * The published JSON Schemas are those that the code makes, and every file that comes with the bench names
 * its own. LEAKBENCH_REWRITE=1 writes them anew; format and review the difference.
 */
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';
import fastCheck from 'fast-check';
import { describe, expect, test } from 'vitest';
import { gasAmount, gasDifference, type JsonSchema, packageRoot, quantity } from '../src/files/index.ts';
import { unitsOf } from '../src/units/index.ts';
import { editorSays, FILE_SCHEMAS, type FileKind } from './helpers/editor.ts';

const ROOT = packageRoot();
const KINDS = Object.keys(FILE_SCHEMAS) as FileKind[];
const SHIPPED = ['src', 'sim'].flatMap((folder) =>
  readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.yaml'))
    .map((file) => join(folder, file)),
);
const kindOf = (file: string): FileKind | undefined => KINDS.find((kind) => file.endsWith(`.${kind}.yaml`));

describe.each(KINDS)('the schema of a %s', (kind) => {
  const { file, make } = FILE_SCHEMAS[kind];
  test('is published as the code makes it', () => {
    const made: unknown = JSON.parse(JSON.stringify(make()));
    const path = join(ROOT, file);
    if (process.env['LEAKBENCH_REWRITE'] === '1') writeFileSync(path, JSON.stringify(made, null, 2));
    expect(JSON.parse(readFileSync(path, 'utf8'))).toEqual(made);
  });

  test('says of every key what it takes: an editor shows it', () => {
    expect(untold(make(), kind)).toEqual([]);
  });
});

describe('a file that comes with the bench', () => {
  test('is of a known kind', () => {
    expect(SHIPPED.length).toBeGreaterThan(50);
    expect(SHIPPED.filter((file) => kindOf(file) === undefined)).toEqual([]);
  });

  test.each(SHIPPED)('%s names its schema, and keeps to it', (file) => {
    const kind = kindOf(file) ?? 'rig';
    const text = readFileSync(join(ROOT, file), 'utf8');
    const [, schema = ''] = /^# yaml-language-server: \$schema=(\S+)\n/u.exec(text) ?? [];
    expect(resolve(ROOT, dirname(file), schema)).toBe(join(ROOT, FILE_SCHEMAS[kind].file));
    expect(editorSays(kind, text)).toEqual([]);
  });

  test('finds its schema in the package too', () => {
    const { files } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { files: string[] };
    for (const kind of KINDS) {
      const [folder = ''] = FILE_SCHEMAS[kind].file.split('/');
      expect(files).toContain(`${folder}/**/*.schema.json`);
      expect(existsSync(join(ROOT, FILE_SCHEMAS[kind].file))).toBe(true);
    }
  });
});

describe('what the bench takes for a quantity, an editor takes too', () => {
  const DIMENSIONS = ['time', 'mass', 'airflow', 'frequency', 'pressure'] as const;
  const SCHEMAS = [
    ...DIMENSIONS.map((dimension) => [dimension, dimension, quantity(dimension)] as const),
    ['time, zero too', 'time', quantity('time', { zeroToo: true })] as const,
    ['gas', 'gas', gasAmount] as const,
    ['gas difference', 'gas', gasDifference] as const,
  ];
  test.each(SCHEMAS)('%s', (_, dimension, schema) => {
    const pattern = new RegExp(String(schema.meta()?.['pattern']), 'u');
    const near = fastCheck.constantFrom(...unitsOf(dimension), '%lfl', '% LFL', 'PPM', 'KG', 'g /m3', '');
    const number = fastCheck.stringMatching(/^ {0,2}[+-]{0,2} ?\d{1,3}(\.\d{1,2})?([eE][+-]?\d)?\s?$/u);
    const zero = fastCheck.constantFrom('-0', '0', '-0.0', '-+0', '- 5', '--5', '+ 5', '1e400');
    let taken = 0;
    fastCheck.assert(
      fastCheck.property(fastCheck.oneof(number, zero), near, (digits, unit) => {
        const text = digits + unit;
        if (!schema.safeParse(text).success) return;
        taken += 1;
        expect(text).toMatch(pattern);
      }),
      { numRuns: 500 },
    );
    expect(taken).toBeGreaterThan(20);
  });
});

/** Keys of which a schema says nothing that a person could go by. */
function untold(schema: JsonSchema, path: string): readonly string[] {
  const told = schema.description ?? schema.enum ?? schema.const ?? schema.properties ?? schema.anyOf;
  const choices = [...(schema.anyOf ?? []), ...(schema.oneOf ?? [])] as readonly JsonSchema[];
  const within = [
    ...Object.entries(schema.properties ?? {}).map(([key, inner]) => [inner, `${path}.${key}`] as const),
    ...choices.flatMap((inner) => (inner.properties === undefined ? [] : [[inner, path] as const])),
    ...(schema.items === undefined ? [] : [[schema.items, `${path}[]`] as const]),
  ];
  const inner = within.flatMap(([one, name]) => untold(one as JsonSchema, name));
  return told === undefined && schema.oneOf === undefined ? [path, ...inner] : inner;
}
