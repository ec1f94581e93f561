/** The keys of a file, from its JSON Schema: what each takes, and what it is where it is left out. */
import type { JsonSchema } from '../../files/index.ts';
import { code, table } from './markdown.ts';

export function keysTold(schema: JsonSchema): string {
  return table(['key', 'takes', 'left out'], rowsOf(schema, ''));
}

const NEEDED = 'needed';
/** By one of several ways to write a value, and not by all. */
const NEEDED_THERE = 'needed in its choice';
type Needed = (key: string) => string;

function rowsOf(schema: JsonSchema, path: string, needed: Needed = () => NEEDED): readonly string[][] {
  const required = new Set(schema.required ?? []);
  const own = Object.entries((schema.properties ?? {}) as Readonly<Record<string, JsonSchema>>);
  const within = own.flatMap(([key, inner]) => {
    const name = path === '' ? key : `${path}.${key}`;
    const left =
      inner.default === undefined ? (required.has(key) ? needed(key) : '') : written(inner.default);
    return [[code(name), takes(inner), left], ...rowsOf(inner, name)];
  });
  const items = schema.items === undefined ? [] : rowsOf(schema.items as JsonSchema, `${path}[]`);
  const choices = choicesOf(schema);
  const inAll = (key: string): boolean => choices.every(({ required: keys }) => keys?.includes(key) === true);
  const neededHere = (key: string): string => (inAll(key) ? NEEDED : NEEDED_THERE);
  return distinct([...within, ...items, ...choices.flatMap((one) => rowsOf(one, path, neededHere))]);
}

function choicesOf(schema: JsonSchema): readonly JsonSchema[] {
  return [...(schema.anyOf ?? []), ...(schema.oneOf ?? [])] as readonly JsonSchema[];
}

/** Several choices may have a key in common. */
function distinct(rows: readonly string[][]): readonly string[][] {
  return [...new Map(rows.map((row) => [row.join(' '), row])).values()];
}

function takes(schema: JsonSchema): string {
  const { description, enum: words, const: word, minimum, maximum } = schema;
  const choice = word === undefined ? words && [...new Set(words.map(String))].join(', ') : String(word);
  const range = minimum === undefined || maximum === undefined ? undefined : `${minimum} to ${maximum}`;
  const ways = [schema, (schema.items ?? {}) as JsonSchema].map(waysOf);
  const told = [description, choice, range, ...ways].filter((one) => one !== undefined);
  return told.length === 0 && schema.properties !== undefined ? 'the keys below' : told.join(': ');
}

/** All ways to write a value, or each of a list, where there are several. */
function waysOf(schema: JsonSchema): string | undefined {
  const ways = choicesOf(schema).map(wayOf);
  return ways.every((one) => one === '') ? undefined : ways.join('; or ');
}

function wayOf(choice: JsonSchema): string {
  if (choice.required !== undefined) return choice.required.map(code).join(', ');
  return choice.items === undefined ? takes(choice) : `a list of ${takes(choice.items as JsonSchema)}`;
}

function written(value: unknown): string {
  const text = typeof value === 'string' ? value : JSON.stringify(value);
  return text === '{}' ? '' : code(text);
}
