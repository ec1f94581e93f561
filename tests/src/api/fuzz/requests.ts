/** Requests to every route of the API's own description and beside it, most of them a little wrong. */
import fc from 'fast-check';
import { drill, near, type Schema, step, written } from './bodies.ts';

/** Who asks; the subject knows the word that goes with it. */
export const WHO = ['nobody', 'stranger', 'viewer', 'seat', 'instructor'] as const;
export type Who = (typeof WHO)[number];

export interface FuzzRequest {
  readonly who: Who;
  readonly method: string;
  /** Path and query. */
  readonly path: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string | null;
}

interface Operation {
  readonly parameters?: readonly { readonly in: string; readonly name: string }[];
  readonly requestBody?: { readonly content: Readonly<Record<string, { readonly schema: Schema }>> };
}
export interface Description {
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
}

const OTHER_PATHS = [
  '/',
  '/healthz',
  '/readyz',
  '/metrics',
  '/openapi.json',
  '/docs',
  '/docs/',
  '/docs/json',
  '/docs/static/index.html',
  '/docs/static/..%2f..%2fpackage.json',
  '/problems/not-found',
  '/problems/__proto__',
  '/..%2f..%2fetc/passwd',
  '/%2e%2e/%2e%2e/etc/passwd',
  '//evil.example/',
  '/api/v1/../../etc/passwd',
  '/api/v1/now/',
  '/api/v1/now;x=1',
  '/API/V1/NOW',
  '/api/v1/%6eow',
  '/api//v1/now',
  '/%',
  '/%zz',
  '/\u0000',
  '*',
  `/${'a'.repeat(9000)}`,
];
const METHODS = ['GET', 'HEAD', 'POST', 'PUT', 'PATCH', 'DELETE', 'OPTIONS', 'TRACE', 'PROPFIND', 'SEARCH'];
const TYPES = [
  'application/json',
  'application/json; charset=utf-8',
  'application/json; charset=utf-7',
  'application/JSON;;',
  'text/plain',
  'application/x-www-form-urlencoded',
  'multipart/form-data; boundary=x',
  'application/vnd.api+json',
  '',
  'x',
];
/** Each header with values that are wrong, or right and seldom. */
const HEADERS: Readonly<Record<string, readonly string[]>> = {
  host: ['localhost', 'evil.example', '', 'localhost:99999', '[::1', '127.0.0.1@evil.example'],
  origin: ['null', 'http://evil.example', 'http://localhost', 'http://', '\u00e9'],
  accept: ['text/html', '*/*;q=x', ''],
  'accept-encoding': ['gzip;q=0', 'x'.repeat(500)],
  'accept-version': ['1.x', '9'],
  'content-length': ['0', '-1', '99999999999', '1e3', 'x'],
  'transfer-encoding': ['chunked', 'gzip', 'identity'],
  expect: ['100-continue', 'x'],
  range: ['bytes=0-0', 'bytes=99999999-', 'bytes=x', 'items=1'],
  'if-none-match': ['*', '"x"'],
  'if-modified-since': ['Thu, 01 Jan 1970 00:00:00 GMT', 'x'],
  'x-request-id': ['abc-1', 'a b', 'x'.repeat(5000), '{"msg":"x"}', '\u00e9\u00e9'],
  'x-forwarded-for': ['127.0.0.1', '10.0.0.1, x'],
  'x-forwarded-host': ['localhost'],
  'x-http-method-override': ['DELETE'],
  cookie: ['a=b; __proto__=x', '=;='],
  upgrade: ['websocket', 'h2c'],
  connection: ['Upgrade', 'close', 'content-length'],
  authorization: [
    'Bearer',
    'Bearer ',
    'Basic eDp5',
    `Bearer ${'x'.repeat(9000)}`,
    'bearer\tx',
    'Bearer undefined',
  ],
  te: ['trailers'],
};

const headerRows = Object.entries(HEADERS).flatMap(([name, values]) =>
  values.map((value) => ({ [name]: value })),
);
const oddHeaders = fc
  .array(fc.constantFrom(...headerRows), { maxLength: 3 })
  .map((rows) => Object.fromEntries(rows.flatMap((row) => Object.entries(row))));
const pathPiece = fc.oneof(
  fc.constantFrom('%00', '..', '__proto__', '%2e%2e%2f', ' ', 'x'.repeat(300), '\u00e9', '%ff'),
  fc.string({ unit: 'binary', maxLength: 12 }).map(encodeURIComponent),
  fc.string({ maxLength: 12 }),
);
const queryValue = fc.oneof(
  fc.constantFrom('0', '-1', '1e3', '0x10', '9007199254740993', '', '1&after=2'),
  pathPiece,
);
const oddQuery = fc
  .array(fc.tuple(fc.constantFrom('token', 'after', 'limit', 'name', '__proto__', 'a[b]'), queryValue), {
    maxLength: 2,
  })
  .map((pairs) => pairs.map(([key, value]) => `${key}=${value}`).join('&'));

/** One row a route and method of the description; the right ones for half, and anything for the rest. */
export function fuzzRequests(description: Description, who: readonly Who[]): fc.Arbitrary<FuzzRequest> {
  const routes = Object.entries(description.paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => ({ path, method: method.toUpperCase(), operation })),
  );
  const asker = fc.constantFrom(...who);
  const known = fc.constantFrom(...routes).chain(({ path, method, operation }) =>
    fc.record({
      who: asker,
      method: fc.oneof({ weight: 7, arbitrary: fc.constant(method) }, fc.constantFrom(...METHODS)),
      path: fc
        .tuple(pathOf(path), queryOf(operation))
        .map(([way, query]) => (query === '' ? way : `${way}?${query}`)),
      headers: fc
        .tuple(typeFor(operation), oddHeaders, fc.nat(3))
        .map(([type, more, pick]) => (pick === 0 ? { ...type, ...more } : type)),
      body: bodyOf(path, operation),
    }),
  );
  const other = fc.record({
    who: asker,
    method: fc.constantFrom(...METHODS),
    path: fc
      .tuple(
        fc.oneof(
          fc.constantFrom(...OTHER_PATHS),
          pathPiece.map((piece) => `/${piece}`),
        ),
        oddQuery,
      )
      .map(([way, query]) => (query === '' ? way : `${way}?${query}`)),
    headers: oddHeaders,
    body: fc.option(written(fc.jsonValue())),
  });
  return fc.oneof({ weight: 4, arbitrary: known }, { weight: 1, arbitrary: other });
}

function pathOf(path: string): fc.Arbitrary<string> {
  if (!path.includes('{')) return fc.constant(path);
  return fc
    .oneof(fc.constantFrom('seat-1', 'seat-2', '1'), pathPiece)
    .map((piece) => path.replace(/\{\w+\}/u, () => piece));
}

function queryOf({ parameters = [] }: Operation): fc.Arbitrary<string> {
  const rows = parameters.filter((one) => one.in === 'query');
  if (rows.length === 0) return fc.oneof({ weight: 5, arbitrary: fc.constant('') }, oddQuery);
  return fc
    .tuple(...rows.map(({ name }) => queryValue.map((value) => `${name}=${value}`)))
    .map((pairs) => pairs.join('&'));
}

function typeFor({ requestBody }: Operation): fc.Arbitrary<Readonly<Record<string, string>>> {
  const json = fc.constant<Readonly<Record<string, string>>>({ 'content-type': 'application/json' });
  const others = fc.constantFrom(...TYPES).map((type) => ({ 'content-type': type }));
  if (requestBody === undefined) return fc.oneof({ weight: 5, arbitrary: fc.constant({}) }, others);
  return fc.oneof({ weight: 8, arbitrary: json }, { weight: 1, arbitrary: others });
}

function bodyOf(path: string, { requestBody }: Operation): fc.Arbitrary<string | null> {
  const schema = requestBody?.content['application/json']?.schema;
  if (schema === undefined)
    return fc.oneof({ weight: 5, arbitrary: fc.constant(null) }, written(fc.jsonValue()));
  if (path === '/api/v1/steps') return written(fc.oneof({ weight: 5, arbitrary: step }, near(schema)));
  if (path === '/api/v1/drill') return written(fc.oneof(drill, near(schema)));
  return written(near(schema));
}
