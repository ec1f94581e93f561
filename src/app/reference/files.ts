/** The keys of a file, from its JSON Schema: what each takes, and what it is where it is left out. */
import type { JsonSchema } from '../../files/index.ts';
import { code, table } from './markdown.ts';

export function keysTold(schema: JsonSchema): string {
  return table(['key', 'takes', 'left out'], rowsOf(schema, ''));
}

function rowsOf(schema: JsonSchema, path: string): readonly string[][] {
  const required = new Set(schema.required ?? []);
  const own = Object.entries((schema.properties ?? {}) as Readonly<Record<string, JsonSchema>>);
  const within = own.flatMap(([key, inner]) => {
    const name = path === '' ? key : `${path}.${key}`;
    const left = inner.default === undefined ? (required.has(key) ? 'needed' : '') : written(inner.default);
    return [[code(name), takes(inner), left], ...rowsOf(inner, name)];
  });
  const items = schema.items === undefined ? [] : rowsOf(schema.items as JsonSchema, `${path}[]`);
  const choices = [...(schema.anyOf ?? []), ...(schema.oneOf ?? [])] as readonly JsonSchema[];
  return distinct([...within, ...items, ...choices.flatMap((one) => rowsOf(one, path))]);
}

/** Several choices may have a key in common. */
function distinct(rows: readonly string[][]): readonly string[][] {
  return [...new Map(rows.map((row) => [row.join(' '), row])).values()];
}

function takes({ description, enum: words, const: word, minimum, maximum }: JsonSchema): string {
  const choice = word === undefined ? words?.map(String).join(', ') : String(word);
  const range = minimum === undefined || maximum === undefined ? undefined : `${minimum} to ${maximum}`;
  const told = [description, choice, range].filter((one) => one !== undefined);
  return told.join(': ');
}

function written(value: unknown): string {
  const text = typeof value === 'string' ? value : JSON.stringify(value);
  return text === '{}' ? '' : code(text);
}
