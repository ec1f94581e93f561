/**
 * YAML 1.2 files that people write, checked by a zod schema, every problem with file, line and column.
 *
 * At most 1 MiB and 50 alias expansions, so that a file cannot exhaust memory; yaml-bounds.ts holds the rest.
 */
import {
  type Document,
  isCollection,
  isMap,
  isNode,
  isScalar,
  LineCounter,
  type Node,
  parseDocument,
  visit,
} from 'yaml';
import type { z } from 'zod';

import { strangerTo } from './file-kind.ts';
import type { FileOutcome, FileProblem } from './problem.ts';
import { syntaxSentence } from './syntax-sentence.ts';
import { placeOf, readTextFile } from './text-file.ts';
import { type Finding, type Path, sentenceAt, validate } from './validate.ts';
import { outOfBounds } from './yaml-bounds.ts';

const ALIASES_MAX = 50;

/** The keys are words, so that no list or map is taken for one. */
const YAML = { version: '1.2', prettyErrors: false, stringKeys: true } as const;

/** Points at a value or a key, so that later checks can speak of it too: file, place, path, sentence. */
export type Locate = (path: Path, message: string, spot?: Finding['at']) => FileProblem;

export interface YamlFile<Value> {
  readonly value: Value;
  readonly text: string;
  readonly locate: Locate;
}

/** Reads and validates a file; I/O errors become problems at line 1 like any other. */
export function readYamlFile<Schema extends z.ZodType>(
  file: string,
  schema: Schema,
): FileOutcome<YamlFile<z.infer<Schema>>> {
  const read = readTextFile(file);
  return read.ok ? parseYaml(file, read.text, schema) : single(read.problem);
}

/** Validates the text of a file; see readYamlFile. */
export function parseYaml<Schema extends z.ZodType>(
  file: string,
  text: string,
  schema: Schema,
): FileOutcome<YamlFile<z.infer<Schema>>> {
  const beyond = outOfBounds(text);
  if (beyond !== null) return single({ file, ...placeOf(text, beyond.offset), message: beyond.message });
  const lines = new LineCounter();
  const document = parseDocument(text, { ...YAML, lineCounter: lines });
  const at = (offset: number, message: string): FileProblem => {
    const { line, col } = lines.linePos(offset);
    return { file, line: Math.max(1, line), column: Math.max(1, col), message: shortened(message) };
  };
  // One mistake in the syntax brings others in its wake: only the first is told.
  const [syntax] = document.errors;
  if (syntax !== undefined) return single(at(syntax.pos[0], syntaxSentence(syntax, text)));
  if (isNothing(document.contents)) return single(at(0, 'is empty; it takes keys and values'));
  const prototype = prototypeKey(document);
  if (prototype !== null) return single(at(prototype, '"__proto__" is no name for a key; choose another'));
  let plain: unknown;
  try {
    // The library counts the anchor as the first use.
    plain = document.toJS({ maxAliasCount: ALIASES_MAX + 1 });
  } catch {
    return single(aliasProblem(document, at));
  }
  const { contents } = document;
  const spotOf = (path: Path, spot: Finding['at']): number =>
    spot === 'key' ? keyOffsetOf(contents, path) : offsetOf(contents, path);
  const locate: Locate = (path, message, spot = 'value') => at(spotOf(path, spot), sentenceAt(path, message));
  const checked = validate(schema, plain);
  if (checked.ok) return { ok: true, value: { value: checked.value, text, locate }, warnings: [] };
  const stranger = strangerTo(schema, plain);
  if (stranger !== null) return single(at(keyOffsetOf(contents, [stranger.key]), stranger.message));
  const problems = checked.findings.map(({ path, at: spot, message }) => at(spotOf(path, spot), message));
  return { ok: false, problems };
}

/** No word of a message is endless, though a word of the file be. */
function shortened(message: string): string {
  return message.replace(/\S{200,}/gu, (word) => `${word.slice(0, 40)}…${word.slice(-10)}`);
}

function single(problem: FileProblem): { readonly ok: false; readonly problems: readonly FileProblem[] } {
  return { ok: false, problems: [problem] };
}

function isNothing(contents: Node | null): boolean {
  return contents === null || (isScalar(contents) && contents.value === null);
}

/** Where a map has the one key that no object can hold as its own like any other; null for nowhere. */
function prototypeKey(document: Document): number | null {
  let offset: number | null = null;
  visit(document, {
    Pair(_, { key }) {
      if (!isScalar(key) || key.value !== '__proto__') return undefined;
      offset = startOf(key);
      return visit.BREAK;
    },
  });
  return offset;
}

/** Why aliases could not be expanded: one names nothing, or together they would grow without end. */
function aliasProblem(document: Document, at: (offset: number, message: string) => FileProblem): FileProblem {
  const tooMany = `repeats itself through more than ${ALIASES_MAX} aliases, from here on; write it out`;
  const problems: FileProblem[] = [];
  visit(document, {
    Alias(_, alias) {
      const isThere = alias.resolve(document) !== undefined;
      const nothing = `there is no anchor "&${alias.source}" before "*${alias.source}"`;
      problems.push(at(startOf(alias), isThere ? tooMany : nothing));
      return isThere ? undefined : visit.BREAK;
    },
  });
  const [first, last] = [problems.at(0), problems.at(-1)];
  return (last?.message === first?.message ? first : last) ?? at(0, tooMany);
}

/** Offset of the node at a path, or of the nearest parent that exists. */
function offsetOf(root: Node | null, path: Path): number {
  let node: Node | null = root;
  let offset = startOf(root);
  for (const step of path) {
    const next: Node | null = childOf(node, step);
    if (next === null) break;
    node = next;
    offset = startOf(next);
  }
  return offset;
}

/** Offset of the last step of a path as a key in its map. */
function keyOffsetOf(root: Node | null, path: Path): number {
  let map: Node | null = root;
  for (const step of path.slice(0, -1)) map = childOf(map, step);
  const pair = isMap<Node>(map) ? map.items.find(({ key }) => String(key) === path.at(-1)) : undefined;
  return pair === undefined ? offsetOf(root, path) : startOf(pair.key);
}

function childOf(node: Node | null, step: PropertyKey): Node | null {
  if (!isCollection(node)) return null;
  const child: unknown = node.get(step, true);
  return isNode(child) ? child : null;
}

function startOf(node: Node | null): number {
  return node?.range?.[0] ?? 0;
}
