/**
 * Who may do what: an instructor may change the bench, a viewer may look.
 *
 * A token is a bearer token (RFC 6750). Only digests are kept, and all of them are compared, each in
 * constant time, so that the time of an answer tells nothing of a token.
 */
import { createHash, timingSafeEqual } from 'node:crypto';

export type Role = 'instructor' | 'viewer';

/** Empty: whoever reaches the bench is an instructor. That is for loopback alone. */
export type Tokens = readonly { readonly role: Role; readonly digest: Buffer }[];

export type TokensOutcome =
  | { readonly ok: true; readonly tokens: Tokens }
  | { readonly ok: false; readonly problem: string };

/** RFC 6750 section 2.1, `b64token`: nothing that a header or an address would have to escape. */
const BEARER_TOKEN = /^[A-Za-z0-9\-._~+/]+=*$/u;
const VIEWER_MARK = 'viewer:';
/** Short tokens can be guessed in a day at the rate that a client is given; this many characters cannot. */
const TOKEN_CHARACTERS_MIN = 8;

/**
 * `VALUE` is an instructor's, `viewer:VALUE` a viewer's. A problem is a sentence that never shows the
 * token.
 */
export function tokensFrom(list: readonly string[]): TokensOutcome {
  const tokens: { readonly role: Role; readonly digest: Buffer }[] = [];
  for (const [index, text] of list.entries()) {
    const viewer = text.startsWith(VIEWER_MARK);
    const value = viewer ? text.slice(VIEWER_MARK.length) : text;
    const name = list.length === 1 ? 'The token' : `Token ${index + 1}`;
    if (!BEARER_TOKEN.test(value) || value.length < TOKEN_CHARACTERS_MIN) {
      return {
        ok: false,
        problem:
          `${name} takes ${TOKEN_CHARACTERS_MIN} or more letters, digits or - . _ ~ + /, ` +
          'written as VALUE or viewer:VALUE.',
      };
    }
    const digest = digestOf(value);
    if (tokens.some((other) => other.digest.equals(digest))) {
      return { ok: false, problem: `${name} was given before: each token names one role.` };
    }
    tokens.push({ role: viewer ? 'viewer' : 'instructor', digest });
  }
  return { ok: true, tokens };
}

/** The role that a presented token gives, or null for a token that is none of ours. */
export function roleOf(tokens: Tokens, presented: string): Role | null {
  const digest = digestOf(presented);
  let role: Role | null = null;
  for (const token of tokens) if (timingSafeEqual(token.digest, digest)) role = token.role;
  return role;
}

function digestOf(value: string): Buffer {
  return createHash('sha256').update(value).digest();
}
