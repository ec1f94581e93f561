/** What is wrong with a text that is no YAML, in our sentences: the parser's speak of its own parts. */
import type { YAMLError } from 'yaml';

const WRITE_OUT = 'has an anchor (&) or an alias (*) that cannot be read; write the value out';
const ONE_LINE = 'is no key and value; write "key: value", with a space behind the colon';

const BY_CODE: Partial<Record<YAMLError['code'], string>> = {
  ALIAS_PROPS: WRITE_OUT,
  BAD_ALIAS: WRITE_OUT,
  MULTIPLE_ANCHORS: WRITE_OUT,
  BAD_DQ_ESCAPE: 'has a "\\" that YAML does not know; write "\\\\", or put the text in single quotes',
  BAD_SCALAR_START: 'begins with a sign that YAML keeps for itself; put the text in quotes',
  BLOCK_AS_IMPLICIT_KEY:
    'has a key within a value; line it up with the keys around it, or put a text with ": " in quotes',
  BLOCK_IN_FLOW: 'has a second ":" in one entry; put a comma between the entries',
  KEY_OVER_1024_CHARS: 'has no ":" for too long to be a key; write "key: value"',
  MULTILINE_IMPLICIT_KEY: ONE_LINE,
  MULTIPLE_DOCS: 'holds a second document ("---"); give each a file of its own',
  NON_STRING_KEY: 'has a list or a map for a key; a key is one word',
  RESOURCE_EXHAUSTION: 'is nested too deeply to be read; no file of the bench needs that',
  TAB_AS_INDENT: 'is indented with a tab; YAML takes spaces',
};

/** Where one code of the parser stands for several mistakes, its sentence tells them apart. */
const BY_SENTENCE: readonly (readonly [RegExp, (found: string) => string])[] = [
  [/end with a (.)$/u, (end) => `lacks its closing "${end}", or a line of it is not indented`],
  [/^Missing closing (.)quote$/u, (quote) => `lacks its closing ${quote}`],
  [/same column$/u, () => 'does not line up with the keys before it; indent it as they are'],
  [/block-seq-ind on same line/u, () => 'begins a list behind its key; put each "- " on a line of its own'],
  [/at node end$/u, () => 'has more behind a value that has ended; put all of it in quotes'],
  [/^Unexpected (.) in flow/u, (sign) => `has a "${sign}" too many; take it out`],
  [/YAML stream: "(.)"$/u, (sign) => `has a "${sign}" too many; take it out`],
  [/^Block scalar header/u, () => 'has more behind "|" or ">"; begin the text on the next line'],
];

/** `text` is the whole file, in which a key is looked up by its place. */
export function syntaxSentence({ code, message, pos: [offset] }: YAMLError, text: string): string {
  if (code === 'DUPLICATE_KEY') {
    const [, key = '?'] = /^["']?([^"':\s]+)/u.exec(text.slice(offset)) ?? [];
    return `has the key "${key}" twice in one map; keep one, or indent it below what it belongs to`;
  }
  const known = BY_CODE[code];
  if (known !== undefined) return known;
  for (const [pattern, says] of BY_SENTENCE) {
    const found = pattern.exec(message);
    if (found !== null) return says(found[1] ?? '');
  }
  return `is not YAML: ${message}`;
}
