/**
 * Writes values into one map of a YAML text and leaves every other byte as it was: comments, order, quotes,
 * line ends, and what stands at the end.
 *
 * The library's document says where each value stands; what is written is held against it once more, so that
 * an anchor or an alias never changes something else unseen.
 */
import { isDeepStrictEqual } from 'node:util';
import { isMap, isScalar, type Pair, parse, parseDocument, type Scalar, type YAMLMap } from 'yaml';

type Path = readonly (string | number)[];

/** Null where it cannot be done without changing more. */
export function editMap(
  text: string,
  path: Path,
  values: Readonly<Record<string, string>>,
  behind: readonly string[],
): string | null {
  const document = parseDocument(text, { version: '1.2' });
  const map: unknown = document.getIn(path, true);
  if (!isMap(map)) return null;
  const edits = Object.entries(values).map(
    ([key, value]) => replacement(map, key, value) ?? addition(text, map, key, value, behind),
  );
  if (edits.includes(null)) return null;
  const edited = (edits as readonly Edit[])
    .toReversed()
    .toSorted((one, other) => other.from - one.from)
    .reduce((so, { from, to, put }) => so.slice(0, from) + put + so.slice(to), text);
  const wanted = unshared(document.toJS());
  Object.assign(
    path.reduce((at, step) => (at as Record<string | number, unknown>)[step], wanted) as object,
    values,
  );
  return isDeepStrictEqual(unshared(read(edited)), wanted) ? edited : null;
}

/** Without the identity of what an alias repeats, in which a change would show twice. */
function unshared(value: unknown): unknown {
  return JSON.parse(JSON.stringify(value ?? null));
}

interface Edit {
  readonly from: number;
  readonly to: number;
  readonly put: string;
}

type KnownPair = Pair<Scalar, Scalar>;

function pairOf(map: YAMLMap, key: string): KnownPair | undefined {
  const pair = map.items.find((one) => isScalar(one.key) && one.key.value === key);
  return pair !== undefined && isScalar(pair.value) ? (pair as KnownPair) : undefined;
}

function replacement(map: YAMLMap, key: string, value: string): Edit | null {
  const written = pairOf(map, key)?.value;
  if (written?.range == null) return null;
  const [from, to] = written.range;
  return { from, to, put: inStyleOf(written.type, value) };
}

/** Behind the first of these keys that is there. */
function addition(
  text: string,
  map: YAMLMap,
  key: string,
  value: string,
  behind: readonly string[],
): Edit | null {
  const [pair] = behind.flatMap((one) => pairOf(map, one) ?? []);
  const begin = pair?.key.range?.[0];
  const end = pair?.value?.range?.[1];
  if (map.has(key) || begin === undefined || end === undefined) return null;
  const written = `${key}: ${inStyleOf(isDay(value) ? 'PLAIN' : 'QUOTE_DOUBLE', value)}`;
  const lineBegin = text.lastIndexOf('\n', begin - 1) + 1;
  const isAlone = /^[\s-]*$/u.test(text.slice(lineBegin, begin));
  const rest = /^[^\r\n]*/u.exec(text.slice(end))?.[0] ?? '';
  const lineEnd = text.includes('\r\n') ? '\r\n' : '\n';
  const indent = ' '.repeat(begin - lineBegin);
  const next = end + rest.length;
  if (map.flow !== true) return { from: next, to: next, put: `${lineEnd}${indent}${written}` };
  // One key a line, as some formatters write it: a comment stays on the line of its own key.
  if (isAlone && /^\s*,\s*(?:#.*)?$/u.test(rest)) {
    return { from: next, to: next, put: `${lineEnd}${indent}${written},` };
  }
  return { from: end, to: end, put: `, ${written}` };
}

function isDay(value: string): boolean {
  return /^\d{4}-\d\d-\d\d$/u.test(value);
}

/** Plain stays plain where it is read as the same text, in a map of either kind. */
function inStyleOf(type: Scalar['type'], value: string): string {
  if (type === 'QUOTE_SINGLE') return `'${value.replaceAll("'", "''")}'`;
  if (type === 'PLAIN' && isDeepStrictEqual(read(`[${value}]`), [value])) return value;
  return JSON.stringify(value);
}

function read(text: string): unknown {
  try {
    return parse(text, { version: '1.2' });
  } catch {
    return undefined;
  }
}
