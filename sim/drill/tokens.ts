/** A written condition cut into tokens, each with its place in the text. */

export interface Token {
  readonly kind: 'word' | 'amount' | 'operator' | 'open' | 'close' | 'stranger' | 'end';
  readonly text: string;
  /** From 0. */
  readonly at: number;
}

/**
 * In order of trial. An amount takes its unit along, whatever that is, so that a wrong one is told as such;
 * but not the word that goes on with the condition. A stranger is one run of what belongs nowhere.
 */
const PATTERNS: readonly (readonly [Exclude<Token['kind'], 'end'>, RegExp])[] = [
  ['word', /[A-Za-z][\w.-]*/uy],
  [
    'amount',
    /[+-]?\d[\d.,]*(?:[eE][+-]?\d+)?(?:\s+\d[\d.,]*)*(?:\s*(?!(?:and|or|not|is)\b)[A-Za-z%][\w%/]*)?/uy,
  ],
  ['operator', /[<>]=?/uy],
  ['open', /\(/uy],
  ['close', /\)/uy],
  ['stranger', /[^\sA-Za-z0-9()<>]+/uy],
];

/** Ends with a token `end` at the end of the text. */
export function tokensOf(text: string): readonly Token[] {
  const tokens: Token[] = [];
  let at = 0;
  for (;;) {
    at += /^\s*/u.exec(text.slice(at))?.[0].length ?? 0;
    if (at >= text.length) return [...tokens, { kind: 'end', text: '', at: text.trimEnd().length }];
    const token = tokenAt(text, at);
    tokens.push(token);
    at += token.text.length;
  }
}

function tokenAt(text: string, at: number): Token {
  for (const [kind, pattern] of PATTERNS) {
    pattern.lastIndex = at;
    const found = pattern.exec(text)?.[0];
    if (found !== undefined) return { kind, text: found, at };
  }
  throw new Error(`no token takes "${text.slice(at, at + 1)}"`);
}
