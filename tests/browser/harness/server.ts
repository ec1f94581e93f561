/**
 * A stand-in for the bench: real HTTP and WebSocket, a fixed rig, a snapshot and a record that a test
 * writes itself. It can do what a bench does only in trouble: refuse, drop its sockets, leave out an event.
 */
import { readFile } from 'node:fs/promises';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join, normalize } from 'node:path';
import { type WebSocket, WebSocketServer } from 'ws';
import type { DrillListing, DrillReport, Recording } from '../../../src/api/drill-schema.ts';
import type { PollReport } from '../../../src/api/poll-report-schema.ts';
import type { RigView } from '../../../src/api/rig-view-schema.ts';
import type { Snapshot } from '../../../src/api/snapshot-schema.ts';
import { type CloudEvent, type Fact, toCloudEvent } from '../../../src/events/index.ts';
import { wrongPolls } from './polls.ts';
import { RIG } from './rig.ts';

export interface StandIn {
  readonly url: string;
  rig: RigView;
  snapshot: Snapshot;
  /** null where the sensors run elsewhere. */
  polls: PollReport | null;
  pollsAsked: number;
  /** What the drill routes give; null for a bench that has none. */
  drills: StandInDrills | null;
  record: CloudEvent[];
  /** Part of each event's id, so that two records can be told apart. */
  recordId: string;
  /** Bodies of the changes asked for so far, with their path; the method where there is no body. */
  readonly asked: { readonly path: string; readonly body: unknown }[];
  /** `after` of each stream opened so far. */
  readonly streams: number[];
  /** Answers every change with this problem while it is set. */
  refusal: { readonly status: number; readonly detail: string } | null;
  /** The token a request must bring, where one is set. */
  token: string | null;
  /** Sequences that go into the record but are kept from the open streams. */
  readonly withheld: Set<number>;
  /** A stream begins so many events before what was asked for: some are sent twice. */
  overlap: number;
  /** The stream takes connections and ends them at once. */
  streamDown: boolean;
  /** Stores a fact and sends it to the open streams. */
  tell(fact: Fact): void;
  /** Sends an event to the open streams and keeps it nowhere: for more of them than a test can hold. */
  pass(event: CloudEvent): void;
  dropSockets(): void;
  close(): Promise<void>;
}

export interface StandInDrills {
  readonly list: readonly DrillListing[];
  readonly report: DrillReport;
  readonly recording: Recording;
}

/** At most so many events a page, whatever is asked: a reader must ask again. */
const PAGE_MAX = 200;

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
};

/** `pageFolder` is the built page; null where only the API is wanted. */
export async function startStandIn(pageFolder: string | null, snapshot: Snapshot): Promise<StandIn> {
  const sockets = new Set<WebSocket>();
  const http = createServer((request, response) => {
    void answer(standIn, pageFolder, request, response);
  });
  const streams = new WebSocketServer({ noServer: true });
  http.on('upgrade', (request, socket, head) => {
    streams.handleUpgrade(request, socket, head, (client) => {
      open(standIn, sockets, client, request);
    });
  });
  await new Promise<void>((resolve) => http.listen(0, '127.0.0.1', resolve));
  const { port } = http.address() as AddressInfo;
  const standIn: StandIn = {
    url: `http://127.0.0.1:${port}/`,
    rig: RIG,
    snapshot,
    polls: wrongPolls(),
    pollsAsked: 0,
    drills: null,
    record: [],
    recordId: 'first',
    asked: [],
    streams: [],
    refusal: null,
    token: null,
    withheld: new Set(),
    overlap: 0,
    streamDown: false,
    tell: (fact) => {
      const sequence = standIn.record.length + 1;
      const event = toCloudEvent(fact, sequence, Date.now(), standIn.rig.name, standIn.recordId);
      standIn.record.push(event);
      standIn.snapshot = { ...standIn.snapshot, sequence };
      if (standIn.withheld.has(sequence)) return;
      for (const socket of sockets) socket.send(JSON.stringify(event));
    },
    pass: (event) => {
      for (const socket of sockets) socket.send(JSON.stringify(event));
    },
    dropSockets: () => {
      for (const socket of sockets) socket.terminate();
      sockets.clear();
    },
    close: () => {
      standIn.dropSockets();
      http.closeAllConnections();
      return new Promise((resolve) => {
        http.close(() => {
          resolve();
        });
      });
    },
  };
  return standIn;
}

function open(standIn: StandIn, sockets: Set<WebSocket>, client: WebSocket, request: IncomingMessage): void {
  const url = new URL(request.url ?? '', standIn.url);
  const after = Number(url.searchParams.get('after'));
  standIn.streams.push(after);
  const allowed = standIn.token === null || url.searchParams.get('token') === standIn.token;
  if (standIn.streamDown || !allowed) {
    client.terminate();
    return;
  }
  for (const event of standIn.record.slice(Math.max(0, after - standIn.overlap)))
    client.send(JSON.stringify(event));
  sockets.add(client);
  client.on('close', () => sockets.delete(client));
}

async function answer(
  standIn: StandIn,
  pageFolder: string | null,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  const url = new URL(request.url ?? '', standIn.url);
  if (!url.pathname.startsWith('/api/')) {
    await serveFile(pageFolder, url.pathname, response);
    return;
  }
  if (standIn.token !== null && request.headers.authorization !== `Bearer ${standIn.token}`) {
    sendProblem(response, 401, 'this bench wants a token');
    return;
  }
  if (request.method !== 'GET') {
    await takeChange(standIn, url.pathname, request, response);
    return;
  }
  switch (url.pathname) {
    case '/api/v1/rig':
      send(response, standIn.rig);
      break;
    case '/api/v1/now':
      send(response, standIn.snapshot);
      break;
    case '/api/v1/class':
      send(response, { class: null });
      break;
    case '/api/v1/poll-report':
      standIn.pollsAsked += 1;
      if (standIn.polls === null) sendProblem(response, 404, 'there is no such thing here');
      else send(response, standIn.polls);
      break;
    case '/api/v1/events': {
      const after = Number(url.searchParams.get('after'));
      const limit = Math.min(PAGE_MAX, Number(url.searchParams.get('limit')));
      send(response, { events: standIn.record.slice(after, after + limit) });
      break;
    }
    default: {
      const drills = drillAnswer(standIn, url.pathname);
      if (drills === undefined) sendProblem(response, 404, 'there is no such thing here');
      else send(response, drills);
    }
  }
}

function drillAnswer({ drills }: StandIn, path: string): unknown {
  if (path === '/api/v1/drills' && drills !== null) return { drills: drills.list };
  if (path === '/api/v1/drill') return drills?.report;
  return path === '/api/v1/recording' ? drills?.recording : undefined;
}

async function takeChange(
  standIn: StandIn,
  path: string,
  request: IncomingMessage,
  response: ServerResponse,
): Promise<void> {
  let body = '';
  for await (const part of request) body += String(part);
  standIn.asked.push({ path, body: body === '' ? request.method : (JSON.parse(body) as unknown) });
  if (standIn.refusal === null) send(response, { ok: true });
  else sendProblem(response, standIn.refusal.status, standIn.refusal.detail);
}

/** As strict as a browser can be told to be: nothing inline, nothing from elsewhere. */
async function serveFile(folder: string | null, path: string, response: ServerResponse): Promise<void> {
  const name = normalize(path === '/' ? '/index.html' : path);
  try {
    const content = await readFile(join(folder ?? '/nowhere', name));
    response.writeHead(200, {
      'content-type': TYPES[extname(name)] ?? 'application/octet-stream',
      'content-security-policy':
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'",
    });
    response.end(content);
  } catch {
    response.writeHead(404).end();
  }
}

function send(response: ServerResponse, body: unknown): void {
  response.writeHead(200, { 'content-type': 'application/json' });
  response.end(JSON.stringify(body));
}

function sendProblem(response: ServerResponse, status: number, detail: string): void {
  response.writeHead(status, { 'content-type': 'application/problem+json' });
  response.end(JSON.stringify({ type: 'about:blank', title: 'Refused', status, detail }));
}
