/** Hooks that turn requests away before any handler sees them. */
import type { FastifyRequest } from 'fastify';
import { isLoopbackHeader, isSameHost } from './addresses.ts';
import { Problem } from './problems.ts';
import { roleOf, type Tokens } from './tokens.ts';

/** Methods that change nothing (RFC 9110 section 9.2.1). */
const SAFE_METHODS: readonly string[] = ['GET', 'HEAD', 'OPTIONS', 'TRACE'];
/** RFC 6750 section 3. */
const CHALLENGE = 'Bearer realm="leakbench"';
const SENTENCES = {
  'all roles': 'This token is a viewer’s: it may look, not change.',
  instructors: 'This token is a viewer’s: the class is the instructor’s alone.',
} as const;
export type WhoMayLook = keyof typeof SENTENCES;

/**
 * Without a token whoever reaches the bench may change it, so no page elsewhere may reach it through a
 * visitor's browser: neither under a name of its own that points here (DNS rebinding) nor by a cross-site
 * request. With tokens such a page would need one; the second check is kept all the same.
 */
export function refuseForeign(tokens: Tokens): (request: FastifyRequest) => void {
  return (request) => {
    const { host, origin } = request.headers;
    if (tokens.length === 0 && !isLoopbackHeader(host)) {
      throw new Problem(
        'foreign-host',
        'Without a token the bench answers only under localhost, 127.0.0.1 or [::1]; ' +
          'give it a --token to be asked under another name.',
      );
    }
    const changes = !isSafe(request.method) || request.ws;
    if (changes && origin !== undefined && !isSameHost(origin, host)) {
      throw new Problem(
        'foreign-origin',
        'The page that asks did not come from this bench. ' +
          'A proxy in between must pass the header Host on as it got it.',
      );
    }
  };
}

/**
 * Lets viewers look and instructors change. Browsers cannot give a WebSocket a header, so it may bring
 * `?token=`.
 */
export function requireRole(tokens: Tokens, whoMayLook: WhoMayLook): (request: FastifyRequest) => void {
  return (request) => {
    if (tokens.length === 0) return;
    const presented = presentedToken(request);
    if (presented === undefined) {
      throw new Problem('token-needed', 'Send the header Authorization: Bearer TOKEN.', {
        headers: { 'www-authenticate': CHALLENGE },
      });
    }
    const role = roleOf(tokens, presented);
    if (role === null) {
      throw new Problem('token-needed', 'The token is none of this bench’s.', {
        headers: { 'www-authenticate': `${CHALLENGE}, error="invalid_token"` },
      });
    }
    if (role !== 'instructor' && (whoMayLook === 'instructors' || !isSafe(request.method))) {
      throw new Problem('not-allowed', SENTENCES[whoMayLook], {
        headers: { 'www-authenticate': `${CHALLENGE}, error="insufficient_scope"` },
      });
    }
  };
}

export function isSafe(method: string): boolean {
  return SAFE_METHODS.includes(method);
}

function presentedToken(request: FastifyRequest): string | undefined {
  const bearer = bearerOf(request);
  if (bearer !== undefined || !request.ws) return bearer;
  const { token } = request.query as Readonly<Record<string, unknown>>;
  return typeof token === 'string' ? token : undefined;
}

export function bearerOf({ headers }: FastifyRequest): string | undefined {
  return /^Bearer +(\S+) *$/iu.exec(headers.authorization ?? '')?.[1];
}
