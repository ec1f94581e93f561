/**
 * What a YAML file may not hold, found before it is parsed: what no text has, what these files have no use
 * for, and what would keep the parser busy without end. Its time grows with the square of the anchors.
 */
import { Lexer } from 'yaml';

const TOKENS_MAX = 400_000;
const NESTED_MAX = 64;
const ANCHORS_MAX = 100;

/** Where, from 0, and a sentence. */
export interface OutOfBounds {
  readonly offset: number;
  readonly message: string;
}

export function outOfBounds(text: string): OutOfBounds | null {
  return strangeCharacter(text) ?? beyondLimits(text);
}

const STRANGE: readonly (readonly [RegExp, (found: string) => string])[] = [
  [/\r(?!\n)/u, () => 'ends a line with CR alone; save the file with line ends of LF or CRLF'],
  [
    /[^\P{Cc}\t\r\n]|\u{feff}/u,
    (found) => `holds ${codeOf(found)}, as no text does; take it out, and save the file as UTF-8`,
  ],
  [/[^\P{Zs} ](?<=^ *.)/mu, (found) => `is indented with ${codeOf(found)}; YAML takes plain spaces`],
];

function strangeCharacter(text: string): OutOfBounds | null {
  for (const [pattern, says] of STRANGE) {
    const found = pattern.exec(text);
    if (found !== null) return { offset: found.index, message: says(found[0]) };
  }
  return null;
}

function codeOf(character: string): string {
  return `U+${character.charCodeAt(0).toString(16).toUpperCase().padStart(4, '0')}`;
}

/** Marks of the lexer that stand for nothing in the text; the last says that a plain text follows. */
const MARKS = ['\u0002', '\u0018', '\u001f'];
const TEXT_FOLLOWS = '\u001f';

function beyondLimits(text: string): OutOfBounds | null {
  const count = { tokens: 0, anchors: 0, flow: 0, inLine: 0 };
  let offset = 0;
  let isText = false;
  for (const token of new Lexer().lex(text)) {
    count.tokens += 1;
    const message = isText ? null : whyNot(token, count);
    if (message !== null) return { offset, message };
    isText = token === TEXT_FOLLOWS;
    if (!MARKS.includes(token)) offset += token.length;
  }
  return null;
}

interface Count {
  tokens: number;
  anchors: number;
  /** How many brackets are open. */
  flow: number;
  /** Marks of lists and keys on this line: each opens a list or a map in the one before. */
  inLine: number;
}

const DEEP = 'is nested too deeply to be read; no file of the bench needs that';

function whyNot(token: string, count: Count): string | null {
  if (count.tokens > TOKENS_MAX) return 'holds more than can be read in good time; split it';
  switch (token.charAt(0)) {
    case '%':
      return 'has a line that begins with "%"; these files take no directives: leave it out';
    case '!':
      return `has a tag, "${token}"; these files take none: leave it out`;
    case '&':
      count.anchors += 1;
      return count.anchors > ANCHORS_MAX ? `has more than ${ANCHORS_MAX} anchors (&); write them out` : null;
    case '[':
    case '{':
      count.flow += 1;
      return count.flow > NESTED_MAX ? DEEP : null;
    case ']':
    case '}':
      count.flow -= 1;
      return null;
    case '-':
    case '?':
      count.inLine += 1;
      return count.inLine > NESTED_MAX ? DEEP : null;
    case '\n':
    case '\r':
      count.inLine = 0;
      return null;
    default:
      return null;
  }
}
