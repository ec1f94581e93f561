/**
 * Checks a written value by a zod schema, and says in our own sentences what is wrong with it.
 *
 * A sentence starts with the path it speaks of and says what to write instead. A schema's own message goes
 * before the ones made here; of a union, the sentences speak of the branch the writer most likely meant.
 */
import type { z } from 'zod';
import { nearTo, suggestion } from './suggestion.ts';

export type Path = readonly PropertyKey[];

export interface Finding {
  /** Where: a value, or, for a key that is not known, that key in its map. */
  readonly path: Path;
  readonly at: 'value' | 'key';
  readonly message: string;
}

export type Validated<Value> =
  | { readonly ok: true; readonly value: Value }
  | { readonly ok: false; readonly findings: readonly Finding[] };

export function validate<Schema extends z.ZodType>(
  schema: Schema,
  written: unknown,
): Validated<z.infer<Schema>> {
  const checked = schema.safeParse(written, { error: sayIt, reportInput: true });
  if (checked.success) return { ok: true, value: checked.data };
  return { ok: false, findings: withoutEchoes(checked.error.issues.flatMap(told)) };
}

interface Told extends Finding {
  /** Whether it counts what a value of another kind, or one that is no number, has none of. */
  readonly isLimit: boolean;
  /** Of a key that is not known: the one that was meant. */
  readonly meant: string | null;
}

/** One mistake is told once: no limits of a value that is told already, no lack of a key that is misspelt. */
function withoutEchoes(findings: readonly Told[]): readonly Finding[] {
  const meant = new Set(findings.flatMap((one) => (one.meant === null ? [] : [spotOf(one, one.meant)])));
  const values = new Set<string>();
  return findings.flatMap(({ path, at, message, isLimit }) => {
    const spot = sentenceAt(path, '');
    const isEcho = at === 'value' && ((isLimit && values.has(spot)) || meant.has(spot));
    values.add(spot);
    return isEcho ? [] : [{ path, at, message }];
  });
}

/** The place of another key in the same map. */
function spotOf({ path }: Finding, key: string): string {
  return sentenceAt([...path.slice(0, -1), key], '');
}

function told(issue: z.core.$ZodIssue): readonly Told[] {
  if (issue.code === 'unrecognized_keys') return issue.keys.map((key) => strangeKey(key, issue));
  const branch = issue.code === 'invalid_union' ? meantBranch(issue) : null;
  if (branch !== null) {
    return branch.flatMap((inner) => told({ ...inner, path: [...issue.path, ...inner.path] }));
  }
  // Where nothing was written, what belongs there is still worth saying.
  const missing = issue.input === undefined && issue.message.startsWith('takes ');
  const message = sentenceAt(issue.path, `${missing ? 'is missing; it ' : ''}${issue.message}`);
  const isLimit = issue.code === 'too_big' || issue.code === 'too_small';
  return [{ path: issue.path, at: 'value', message, isLimit, meant: null }];
}

function strangeKey(key: string, { path, message }: z.core.$ZodIssueUnrecognizedKeys): Told {
  const known = message.startsWith(KEYS) ? message.slice(KEYS.length).split(' ').filter(Boolean) : null;
  const advice = known === null ? `it ${message}` : suggestion(key, known);
  return {
    path: [...path, key],
    at: 'key',
    message: sentenceAt(path, `"${key}" is not known here; ${key.includes(':') ? SPACE : advice}`),
    isLimit: false,
    meant: known === null ? null : nearTo(key, known),
  };
}

const SPACE = 'write a space behind the colon';

/** The branch that failed deepest, with the fewest issues; null where the union's own sentence says more. */
function meantBranch(union: z.core.$ZodIssueInvalidUnion): z.core.$ZodIssue[] | null {
  const [closest] = [...union.errors].sort((a, b) => closeness(b) - closeness(a));
  if (closest === undefined) return null;
  const wentIn = closest.some((issue) => issue.path.length > 0 || issue.code === 'unrecognized_keys');
  return wentIn || union.message === '' ? closest : null;
}

/** Depth counts first; among equally deep branches the one with the fewest issues is closer. */
function closeness(issues: readonly z.core.$ZodIssue[]): number {
  const depths = issues.map((issue) => issue.path.length + (issue.code === 'unrecognized_keys' ? 1 : 0));
  return Math.max(...depths) - issues.length / 1000;
}

const KINDS: Readonly<Record<string, string>> = {
  object: 'a map of keys and values',
  array: 'a list',
  record: 'a map of keys and values',
  string: 'a text',
  number: 'a number',
  int: 'a whole number',
  boolean: 'true or false',
};

/** The keys that a map takes travel behind this as the message of the issue. */
const KEYS = 'keys: ';

/** Our own sentences for what zod finds. */
const sayIt: z.core.$ZodErrorMap = (issue) => {
  switch (issue.code) {
    case 'invalid_type':
      return `takes ${KINDS[issue.expected] ?? issue.expected}${unquoted(issue)}`;
    case 'invalid_value':
      return `takes ${issue.values.length > 1 ? 'one of ' : ''}${issue.values.map(String).join(', ')}`;
    case 'unrecognized_keys':
      return KEYS + knownKeys(issue.inst).join(' ');
    case 'invalid_union':
      return '';
    case 'too_small':
      return `takes ${issue.inclusive === false ? 'more than' : 'at least'} ${counted(issue, issue.minimum)}`;
    case 'too_big':
      return `takes ${issue.inclusive === false ? 'less than' : 'at most'} ${counted(issue, issue.maximum)}`;
    default:
      return undefined;
  }
};

/** YAML takes a bare number or true for what they are. */
function unquoted({ expected, input }: { readonly expected: string; readonly input?: unknown }): string {
  const isBare = typeof input === 'number' || typeof input === 'boolean';
  return expected === 'string' && isBare ? '; put it in quotes' : '';
}

/** What the limit of a text or a list counts: one, and more than one. */
const COUNTED: Readonly<Record<string, readonly [string, string]>> = {
  string: [' character', ' characters'],
  array: [' entry', ' entries'],
};

function counted({ origin }: { readonly origin: string }, limit: number | bigint): string {
  return `${limit}${COUNTED[origin]?.[limit > 1 ? 1 : 0] ?? ''}`;
}

/** The keys that a map or a record takes: zod tells the schema, and these are its two shapes. */
function knownKeys(schema: unknown): readonly string[] {
  const { shape, keyType } = (schema as { readonly def: MapDefinition }).def;
  return Object.keys(shape ?? keyType?.def.entries ?? {});
}

interface MapDefinition {
  readonly shape?: object;
  readonly keyType?: { readonly def: { readonly entries?: object } };
}

/** (["sensors", 0, "unitId"], "takes …") → "sensors[0].unitId: takes …". */
export function sentenceAt(path: Path, message: string): string {
  const steps = path.map((step, index) => {
    if (typeof step === 'number') return `[${step}]`;
    return `${index > 0 ? '.' : ''}${String(step)}`;
  });
  return path.length === 0 ? message : `${steps.join('')}: ${message}`;
}
