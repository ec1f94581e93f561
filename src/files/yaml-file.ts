/**
 * YAML 1.2 files that people write, checked by a zod schema, every problem with file, line and column.
 *
 * Limits: a file of at most 1 MiB and at most 50 alias expansions, so that a file cannot exhaust memory.
 */
import { readFileSync, statSync } from 'node:fs';
import {
  type Document,
  isCollection,
  isMap,
  isNode,
  LineCounter,
  type Node,
  parseDocument,
  visit,
  type YAMLError,
} from 'yaml';
import type { z } from 'zod';

import type { FileOutcome, FileProblem } from './problem.ts';
import { type Path, sentenceAt, validate } from './validate.ts';

const FILE_BYTES_MAX = 1024 * 1024;
const ALIASES_MAX = 50;

/** Points at a value, so that later checks can speak of it too: file, line, column, path, sentence. */
export type Locate = (path: Path, message: string) => FileProblem;

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
  let text: string;
  try {
    if (statSync(file).size > FILE_BYTES_MAX) {
      return single({ file, line: 1, column: 1, message: 'is larger than 1 MiB; split it' });
    }
    text = readFileSync(file, 'utf8');
  } catch (error) {
    return single({ file, line: 1, column: 1, message: whyUnreadable(error) });
  }
  return parseYaml(file, text, schema);
}

/** Validates the text of a file; see readYamlFile. */
export function parseYaml<Schema extends z.ZodType>(
  file: string,
  text: string,
  schema: Schema,
): FileOutcome<YamlFile<z.infer<Schema>>> {
  const lines = new LineCounter();
  const document = parseDocument(text, { lineCounter: lines, version: '1.2', prettyErrors: false });
  const at = (offset: number, message: string): FileProblem => {
    const { line, col } = lines.linePos(offset);
    return { file, line: Math.max(1, line), column: Math.max(1, col), message };
  };
  // One mistake in the syntax brings others in its wake: only the first is told.
  const [syntax] = document.errors;
  if (syntax !== undefined) return single(at(syntax.pos[0], syntaxSentence(syntax)));
  if (document.contents === null) return single(at(0, 'is empty'));
  let plain: unknown;
  try {
    // The library counts the anchor as the first use.
    plain = document.toJS({ maxAliasCount: ALIASES_MAX + 1 });
  } catch {
    return single(aliasProblem(document, at));
  }
  const { contents } = document;
  const locate: Locate = (path, message) => at(offsetOf(contents, path), sentenceAt(path, message));
  const checked = validate(schema, plain);
  if (checked.ok) return { ok: true, value: { value: checked.value, text, locate }, warnings: [] };
  const problems = checked.findings.map(({ path, at: spot, message }) =>
    at(spot === 'key' ? keyOffsetOf(contents, path) : offsetOf(contents, path), message),
  );
  return { ok: false, problems };
}

function single(problem: FileProblem): { readonly ok: false; readonly problems: readonly FileProblem[] } {
  return { ok: false, problems: [problem] };
}

function whyUnreadable(error: unknown): string {
  const code = error instanceof Error && 'code' in error ? error.code : undefined;
  if (code === 'ENOENT') return 'does not exist; check the path';
  if (code === 'EISDIR') return 'is a folder; name a file';
  return `cannot be read (${String(code)}); check its path and permissions`;
}

function syntaxSentence(error: YAMLError): string {
  switch (error.code) {
    case 'MULTIPLE_DOCS':
      return 'holds a second document ("---"); give each a file of its own';
    case 'DUPLICATE_KEY':
      return 'has the same key twice in one map; keep one of them';
    case 'TAB_AS_INDENT':
      return 'is indented with a tab; YAML takes spaces';
    case 'RESOURCE_EXHAUSTION':
      return 'is nested too deeply to be read';
    default:
      return `is not YAML: ${error.message}`;
  }
}

/** Why aliases could not be expanded: one names nothing, or together they would grow without end. */
function aliasProblem(document: Document, at: (offset: number, message: string) => FileProblem): FileProblem {
  let problem = at(0, `repeats itself through more than ${ALIASES_MAX} aliases; write it out`);
  visit(document, {
    Alias(_, alias) {
      if (alias.resolve(document) !== undefined) return undefined;
      problem = at(startOf(alias), `there is no anchor "&${alias.source}" before "*${alias.source}"`);
      return visit.BREAK;
    },
  });
  return problem;
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
