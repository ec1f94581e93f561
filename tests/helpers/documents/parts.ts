/**
 * What a Markdown document of ours says, in order, as things to do: its fenced blocks, and the marks before them.
 * A mark is an HTML comment, which no reader sees. A block that could rot unseen is an error here: whoever adds one
 * says what it is.
 */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { lexer, type Token } from 'marked';
import { packageRoot } from '../../../src/files/index.ts';

export const DOCUMENTS = [
  'README.md',
  'DEVELOPERS.md',
  'src/guides/integrator.md',
  'src/guides/qa.md',
  'src/guides/instructor.md',
  'src/guides/rig.md',
] as const;

/** Between these a bench writes its figures. */
const WRITTEN_BY_OTHERS = /^(?:figures of|end of the figures)/u;

/** `meanwhile` ends by itself while what follows is done; `stays` ends with Ctrl-C. */
export type Way = 'ends' | 'meanwhile' | 'stays';

export type Part = { readonly line: number; readonly text: string } & (
  | { readonly kind: 'commands'; readonly way: Way; readonly code: number }
  | { readonly kind: 'not run'; readonly reason: string }
  | { readonly kind: 'file'; readonly name: string; readonly bad: boolean }
  | { readonly kind: 'part of a rig' }
  | { readonly kind: 'steps' }
  | { readonly kind: 'told'; readonly command: string }
  | { readonly kind: 'output' }
  | { readonly kind: 'Ctrl-C' }
  | { readonly kind: 'ended'; readonly code: number }
);

export function readDocument(file: string): string {
  return readFileSync(join(packageRoot(), file), 'utf8');
}

export function partsOf(file: string): readonly Part[] {
  const document = readDocument(file);
  const parts: Part[] = [];
  let [mark, from] = ['', 0];
  for (const token of blocksOf(lexer(document))) {
    from = document.indexOf(token.raw.split('\n')[0] ?? '', from);
    const at = { line: document.slice(0, from).split('\n').length, text: token.text };
    if (token.type === 'html') {
      if (mark !== '') throw new Error(`${file}:${at.line}: <!-- ${mark} --> stands before no block`);
      const said = /^<!--(.*)-->\s*$/su.exec(token.text)?.[1]?.trim() ?? '';
      if (WRITTEN_BY_OTHERS.test(said)) continue;
      const alone = standingAlone(said, at);
      if (alone === null) mark = said;
      else parts.push(alone);
    } else {
      const part = blockOf(token.lang ?? '', mark, at);
      if (part === null)
        throw new Error(`${file}:${at.line}: what is this ${token.lang ?? ''} block? marked “${mark}”`);
      parts.push(part);
      mark = '';
    }
    from += 1;
  }
  if (mark !== '') throw new Error(`${file}: <!-- ${mark} --> stands before no block`);
  return parts;
}

interface Block {
  readonly type: 'html' | 'code';
  readonly raw: string;
  readonly text: string;
  readonly lang?: string;
}

/** Blocks in lists too, which is where steps of a guide have them. */
function blocksOf(tokens: readonly Token[]): readonly Block[] {
  return tokens.flatMap((token) => {
    if (token.type === 'code' || token.type === 'html') return [token as Block];
    const inside =
      (token as { items?: Token[]; tokens?: Token[] }).items ?? (token as { tokens?: Token[] }).tokens;
    return inside === undefined ? [] : blocksOf(inside);
  });
}

type At = Pick<Part, 'line' | 'text'>;

function standingAlone(mark: string, at: At): Part | null {
  if (mark === 'Ctrl-C') return { ...at, kind: 'Ctrl-C' };
  const code = /^ended: (\d+)$/u.exec(mark)?.[1];
  return code === undefined ? null : { ...at, kind: 'ended', code: Number(code) };
}

function blockOf(lang: string, mark: string, at: At): Part | null {
  const [, key = '', value = ''] = /^([^:]*)(?:: (.*))?$/su.exec(mark) ?? [];
  if (key === 'not run' && value !== '') return { ...at, kind: 'not run', reason: value };
  switch (lang) {
    case 'sh':
      return commandsOf(mark, at);
    case 'text':
      return mark === '' ? { ...at, kind: 'output' } : null;
    case 'yaml':
      if (mark === 'part of: rig') return { ...at, kind: 'part of a rig' };
      return key === 'file' ? fileOf(value, at) : null;
    case 'json':
      if (mark === 'steps') return { ...at, kind: 'steps' };
      if (mark === 'answered with') return { ...at, kind: 'output' };
      return key === 'told to' ? { ...at, kind: 'told', command: value } : null;
    default:
      return null;
  }
}

function commandsOf(mark: string, at: At): Part | null {
  if (mark === '') return { ...at, kind: 'commands', way: 'ends', code: 0 };
  const [, way, code = '0'] = /^run: (?:(stays|meanwhile)|ends with (\d+))$/u.exec(mark) ?? [];
  if (way === undefined && code === '0') return null;
  return { ...at, kind: 'commands', way: (way as Way | undefined) ?? 'ends', code: Number(code) };
}

function fileOf(value: string, at: At): Part {
  const [name = '', bad] = value.split(', ');
  return { ...at, kind: 'file', name, bad: bad === 'a bad one' };
}
