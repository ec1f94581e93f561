/** Bodies near to what a route takes: of its schema, of the shipped drills, and broken by a little. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { parse } from 'yaml';
import { packageRoot } from '../../../../src/files/index.ts';

/** The parts of a JSON schema that the API's description uses. */
export interface Schema {
  readonly type?: string;
  readonly enum?: readonly unknown[];
  readonly anyOf?: readonly Schema[];
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly items?: Schema;
}

const ODD_NUMBERS = [0, -0, -1, 1e308, 5e-324, Number.MAX_SAFE_INTEGER + 1, 2 ** 31, 0.1, -1e9];
const ODD_TEXTS = [
  '',
  ' ',
  '\u0000',
  '__proto__',
  'constructor',
  'toString',
  '../../etc/passwd',
  '%00',
  '\u202e',
];
const LETTERS_MAX = 40;

const text = fc.oneof(
  fc.constantFrom(...ODD_TEXTS, 'coil-a', 'everybody', '30 s', '40 %LFL', 'on', 'off'),
  fc.string({ unit: 'binary', maxLength: LETTERS_MAX }),
  fc.integer({ min: 0, max: 70_000 }).map((count) => 'x'.repeat(count)),
);
const number = fc.oneof(fc.constantFrom(...ODD_NUMBERS), fc.double(), fc.integer());
const odd: fc.Arbitrary<unknown> = fc.oneof(text, number, fc.boolean(), fc.constant(null), fc.jsonValue());
const oddKey = fc.constantFrom('__proto__', 'constructor', 'extra', '', 'at', 'lasts');

/** What a schema takes, or, one time in six at every level, anything else. */
export function near(schema: Schema): fc.Arbitrary<unknown> {
  return fc.oneof({ weight: 5, arbitrary: fitting(schema) }, { weight: 1, arbitrary: odd });
}

function fitting(schema: Schema): fc.Arbitrary<unknown> {
  if (schema.enum !== undefined) return fc.constantFrom(...schema.enum);
  if (schema.anyOf !== undefined) return fc.oneof(...schema.anyOf.map(near));
  switch (schema.type) {
    case 'object':
      return fitted(schema.properties ?? {});
    case 'array':
      return fc.array(near(schema.items ?? {}), { maxLength: 25 });
    case 'string':
      return text;
    case 'number':
    case 'integer':
      return fc.oneof(fc.integer({ min: 0, max: 20 }), number);
    case 'boolean':
      return fc.boolean();
    case 'null':
      return fc.constant(null);
    default:
      return odd;
  }
}

function fitted(properties: Readonly<Record<string, Schema>>): fc.Arbitrary<unknown> {
  const rows = Object.fromEntries(Object.entries(properties).map(([key, one]) => [key, near(one)]));
  const whole = fc.record(rows);
  return fc.oneof(
    { weight: 6, arbitrary: whole },
    { weight: 1, arbitrary: fc.record(rows, { requiredKeys: [] }) },
    {
      weight: 1,
      arbitrary: fc.tuple(whole, oddKey, odd).map(([all, key, value]) => ({ ...all, [key]: value })),
    },
  );
}

const LIBRARY = join(packageRoot(), 'sim/drill/library');
const drillTexts = readdirSync(LIBRARY)
  .filter((file) => file.endsWith('.drill.yaml'))
  .map((file) => readFileSync(join(LIBRARY, file), 'utf8'));
const steps = drillTexts.flatMap((written) => {
  const { steps: all = [] } = parse(written) as { readonly steps?: readonly Record<string, unknown>[] };
  return all.map((one) => Object.fromEntries(Object.entries(one).filter(([key]) => key !== 'at')));
});

/** A step as a shipped drill has it, with a leaf or a key exchanged. */
export const step: fc.Arbitrary<unknown> = fc
  .tuple(fc.constantFrom(...steps), fc.option(fc.tuple(fc.nat(), odd)))
  .map(([one, change]) => (change === null ? one : exchanged(one, change[0], change[1])));

/** The text of a shipped drill, with pieces cut out, doubled or written over. */
export const drill: fc.Arbitrary<unknown> = fc
  .tuple(fc.constantFrom(...drillTexts), fc.array(fc.tuple(fc.nat(), fc.nat(30), text), { maxLength: 3 }))
  .map(([written, edits]) => ({
    text: edits.reduce((all, [at, length, put]) => {
      const from = at % (all.length + 1);
      return all.slice(0, from) + put.slice(0, LETTERS_MAX) + all.slice(from + length);
    }, written),
  }));

function exchanged(value: unknown, which: number, put: unknown): unknown {
  if (typeof value !== 'object' || value === null) return put;
  const keys = Object.keys(value);
  const key = keys[which % Math.max(1, keys.length)];
  if (key === undefined) return put;
  const inner = (value as Readonly<Record<string, unknown>>)[key];
  return { ...value, [key]: exchanged(inner, Math.floor(which / keys.length), put) };
}

const BROKEN_TEXTS = [
  '',
  '{',
  'NaN',
  '1e999',
  '\ufeff{}',
  '{"a":1,"a":2}',
  '{"__proto__":{"x":1}}',
  '{"constructor":{"prototype":{}}}',
  '"\\ud800"',
  'null',
  '\u0000',
  '[]',
  '['.repeat(10_000),
  `{"a":${'{"a":'.repeat(3000)}`,
  ' '.repeat(66_000),
  'fan=on&x=1',
];

/** A value as it goes over the wire: mostly as JSON, at times cut short, at times no JSON at all. */
export function written(value: fc.Arbitrary<unknown>): fc.Arbitrary<string> {
  const json = value.map((one) => JSON.stringify(one));
  return fc.oneof(
    { weight: 8, arbitrary: json },
    {
      weight: 1,
      arbitrary: fc.tuple(json, fc.nat()).map(([all, at]) => all.slice(0, at % (all.length + 1))),
    },
    { weight: 1, arbitrary: fc.constantFrom(...BROKEN_TEXTS) },
  );
}
