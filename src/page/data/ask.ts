/**
 * One request to the bench. Trouble is a value: a refusal carries the sentence of the bench's problem
 * details (RFC 9457), a bench that does not answer carries our own.
 */
import { T } from '../texts/index.ts';

export type Got<Value> = { readonly ok: true; readonly value: Value } | Refused;

interface Refused {
  readonly ok: false;
  /** HTTP status; 0 where nothing answered. */
  readonly status: number;
  readonly text: string;
}

export type Ask = <Value>(
  method: 'GET' | 'POST' | 'DELETE',
  path: string,
  body?: unknown,
) => Promise<Got<Value>>;

/** A bench on the same machine answers within milliseconds; one that needs longer is as good as gone. */
const ANSWER_WITHIN_MS = 5000;

/** `base` is the bench's root; `secret` a token or a seat's key, asked for anew with each request. */
export function createAsk(base: string, secret: () => string | null): Ask {
  return async <Value>(method: string, path: string, body?: unknown): Promise<Got<Value>> => {
    try {
      const bearer = secret();
      const response = await fetch(new URL(path, base), {
        method,
        headers: {
          ...(bearer === null ? {} : { authorization: `Bearer ${bearer}` }),
          ...(body === undefined ? {} : { 'content-type': 'application/json' }),
        },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
        signal: AbortSignal.timeout(ANSWER_WITHIN_MS),
      });
      const text = await response.text();
      if (!response.ok)
        return { ok: false, status: response.status, text: problemText(response.status, text) };
      return { ok: true, value: contentOf(response, text) as Value };
    } catch {
      return { ok: false, status: 0, text: T.noAnswer };
    }
  };
}

/** A table comes as text, all else as JSON. */
function contentOf(response: Response, text: string): unknown {
  if (text === '') return null;
  return response.headers.get('content-type')?.includes('json') === true ? JSON.parse(text) : text;
}

/** RFC 9457 section 3.1: `detail` explains this occurrence, `title` the kind. */
function problemText(status: number, body: string): string {
  try {
    const { detail, title } = JSON.parse(body) as { readonly detail?: unknown; readonly title?: unknown };
    if (typeof detail === 'string' && detail !== '') return detail;
    if (typeof title === 'string' && title !== '') return title;
  } catch {
    // Not a problem document: a proxy in between, perhaps. The status is all there is to tell.
  }
  return T.strangeAnswer(status);
}
