/** Bytes on a connection: requests broken as no HTTP client would, and frames of a WebSocket likewise. */
import { connect } from 'node:net';
import fc from 'fast-check';
import { expect } from 'vitest';
import { expectNoFault } from './http-fuzz.ts';
import { type Description, type FuzzRequest, fuzzRequests, type Who } from './requests.ts';
import type { Subject } from './subject.ts';

const CONNECTIONS = 20;
const KEY = 'dGhlIHNhbXBsZSBub25jZQ==';
const LENGTH_16 = 126;
const LENGTH_64 = 127;
const MASKED = 0x80;

/** Where to cut, what to put there instead, by the share of the whole. */
type Edit = readonly [at: number, cut: number, put: string];
const edits: fc.Arbitrary<readonly Edit[]> = fc.array(
  fc.tuple(
    fc.nat(),
    fc.nat(8),
    fc.oneof(
      fc.constantFrom('\r\n', '\n', '\r\n\r\n', ': ', '\u0000', ' ', 'HTTP/9', '\t'),
      fc.string({ maxLength: 6 }),
    ),
  ),
  { maxLength: 3 },
);

export async function fuzzRaw(subject: Subject, who: readonly Who[], requests: number): Promise<void> {
  const asked = fc.tuple(fuzzRequests(subject.app.swagger() as Description, who), edits);
  await fuzzBatches(
    fc.array(asked, { minLength: CONNECTIONS, maxLength: CONNECTIONS }),
    requests,
    async (batch) => {
      await Promise.all(
        batch.map(async ([request, changed]) =>
          expectNoFaultAfter(
            subject,
            Buffer.from(edited(asText(request, await subject.bearer(request.who)), changed), 'latin1'),
          ),
        ),
      );
    },
  );
  expect(subject.faults).toEqual([]);
}

interface Frame {
  readonly first: number;
  readonly masked: boolean;
  readonly form: 'short' | 'long' | 'lies';
  readonly payload: Uint8Array;
}
const frames = fc.array(
  fc.record<Frame>({
    first: fc.oneof(fc.constantFrom(0x81, 0x82, 0x88, 0x89, 0x8a, 0x01, 0x00, 0xc1), fc.nat(0xff)),
    masked: fc.oneof({ weight: 5, arbitrary: fc.constant(true) }, fc.constant(false)),
    form: fc.constantFrom('short', 'short', 'long', 'lies'),
    payload: fc.oneof(fc.uint8Array({ maxLength: 125 }), fc.uint8Array({ minLength: 1000, maxLength: 2000 })),
  }),
  { minLength: 1, maxLength: 8 },
);
const upgrades = fc.record({
  who: fc.constantFrom<Who>('nobody', 'stranger', 'viewer', 'seat', 'instructor'),
  path: fc.oneof(
    { weight: 5, arbitrary: fc.constant('/api/v1/stream') },
    fc.constantFrom(
      '/api/v1/now',
      '/api/v1/steps',
      '/api/v1/restart',
      '/',
      '/nothing',
      '/docs',
      '/api/v1/seat',
    ),
  ),
  method: fc.oneof(
    { weight: 8, arbitrary: fc.constant('GET') },
    fc.constantFrom('POST', 'DELETE', 'PUT', 'HEAD'),
  ),
  after: fc.constantFrom('', 'after=0&', 'after=-1&', 'after=999999999&', 'after=x&', 'after=1&after=2&'),
  version: fc.constantFrom('13', '13', '13', '13', '8', 'x', ''),
  key: fc.constantFrom(KEY, KEY, KEY, 'short', ''),
  more: fc.constantFrom(
    '',
    '',
    'Sec-WebSocket-Extensions: permessage-deflate; client_max_window_bits\r\n',
    'Sec-WebSocket-Extensions: x;;=,\r\n',
    'Sec-WebSocket-Protocol: a, a, \u0000\r\n',
    'Origin: http://evil.example\r\n',
    'Content-Length: 20\r\n',
  ),
  frames,
});

/** An upgrade and frames behind it, on a connection each; gives how many messages went out. */
export async function fuzzSockets(subject: Subject, messages: number): Promise<number> {
  let sent = 0;
  await fuzzBatches(
    fc.array(upgrades, { minLength: CONNECTIONS, maxLength: CONNECTIONS }),
    messages / 4,
    async (batch) => {
      await Promise.all(
        batch.map(async (one) => {
          const token = await subject.bearer(one.who);
          const head =
            `${one.method} ${one.path}?${one.after}${token === null ? '' : `token=${token}`} HTTP/1.1\r\n` +
            `Host: localhost\r\nUpgrade: websocket\r\nConnection: Upgrade\r\n` +
            `Sec-WebSocket-Version: ${one.version}\r\nSec-WebSocket-Key: ${one.key}\r\n${one.more}\r\n`;
          sent += one.frames.length;
          await expectNoFaultAfter(
            subject,
            Buffer.concat([Buffer.from(head, 'latin1'), ...one.frames.map(bytesOf)]),
          );
        }),
      );
      expect(subject.taken()).toEqual([]);
    },
  );
  expect(subject.faults).toEqual([]);
  return sent;
}

async function fuzzBatches<Batch>(
  batches: fc.Arbitrary<Batch>,
  count: number,
  each: (batch: Batch) => Promise<void>,
): Promise<void> {
  const numRuns = Math.ceil(count / CONNECTIONS);
  await fc.assert(fc.asyncProperty(batches, each), { numRuns, endOnFailure: true });
}

function asText({ method, path, headers, body }: FuzzRequest, token: string | null): string {
  const all: Readonly<Record<string, string>> = {
    host: 'localhost',
    ...(token === null ? {} : { authorization: `Bearer ${token}` }),
    ...(body === null ? {} : { 'content-length': String(Buffer.byteLength(body, 'latin1')) }),
    ...headers,
  };
  const lines = Object.entries(all).map(([name, value]) => `${name}: ${value}\r\n`);
  return `${method} ${path} HTTP/1.1\r\n${lines.join('')}\r\n${body ?? ''}`;
}

function edited(text: string, changes: readonly Edit[]): string {
  return changes.reduce((all, [at, cut, put]) => {
    const from = at % (all.length + 1);
    return all.slice(0, from) + put + all.slice(from + cut);
  }, text);
}

function bytesOf({ first, masked, form, payload }: Frame): Buffer {
  const told = form === 'lies' ? payload.length * 3 : payload.length;
  const long = form !== 'short' || told >= LENGTH_16;
  const head = Buffer.alloc(long ? 10 : 2);
  head[0] = first;
  head[1] = (long ? LENGTH_64 : told) + (masked ? MASKED : 0);
  if (long) head.writeBigUInt64BE(BigInt(told), 2);
  // Masked with zeros, which leaves the payload as it is.
  return Buffer.concat([head, Buffer.alloc(masked ? 4 : 0), payload]);
}

/** Sends it all, says that nothing more comes, and gives what came back until the connection was over. */
function exchange({ url }: Subject, bytes: Buffer): Promise<string> {
  return new Promise((resolve) => {
    const socket = connect({ port: Number(new URL(url).port), host: '127.0.0.1' });
    const heard: Buffer[] = [];
    socket.on('data', (chunk: Buffer) => heard.push(chunk));
    // It may be cut while we still send: what was heard until then counts.
    socket.on('error', () => undefined);
    socket.on('close', () => {
      resolve(Buffer.concat(heard).toString('latin1'));
    });
    socket.end(bytes);
  });
}

async function expectNoFaultAfter(subject: Subject, bytes: Buffer): Promise<void> {
  const [heard, asked] = [await exchange(subject, bytes), bytes.toString('latin1')];
  for (const [, status = ''] of heard.matchAll(/^HTTP\/1\.1 (\d{3}) /gmu)) {
    expectNoFault(Number(status), heard, asked);
  }
}
