/** What anybody outside can do with a bench: ask over Modbus TCP, post steps, listen to the stream. */
import { once } from 'node:events';
import { connect } from 'node:net';
import { WebSocket } from 'ws';
import type { CloudEvent } from '../../src/events/index.ts';
import {
  decodeResponse,
  encodeFrame,
  encodeRequest,
  mbapParser,
  type Request,
  type Response,
} from '../../src/modbus/index.ts';
import { unitId } from '../../src/units/index.ts';

/** One request on a connection of its own; null for silence until `waitMs` has passed. */
export async function ask(
  port: number,
  unit: number,
  request: Request,
  waitMs = 1000,
): Promise<Response | null> {
  const socket = connect({ host: '127.0.0.1', port });
  try {
    await once(socket, 'connect');
    socket.write(encodeFrame(1, unitId(unit), encodeRequest(request)));
    const parser = mbapParser();
    const frame = await new Promise<Uint8Array | null>((resolve) => {
      const timer = setTimeout(() => {
        resolve(null);
      }, waitMs);
      socket.on('data', (chunk) => {
        parser.feed(chunk);
        const incoming = parser.next();
        if (incoming?.kind !== 'frame') return;
        clearTimeout(timer);
        resolve(incoming.pdu);
      });
    });
    if (frame === null) return null;
    const response = decodeResponse(frame, request);
    if (response.kind === 'mismatched') throw new Error(`mismatched ${response.field}`);
    return response;
  } finally {
    socket.destroy();
  }
}

/** Bits or registers of a read; throws on silence or an exception. */
export async function readValues(port: number, unit: number, request: Request): Promise<number[]> {
  const response = await ask(port, unit, request);
  if (response?.kind !== 'read') throw new Error(`no values: ${JSON.stringify(response)}`);
  return Array.from(response.values);
}

export async function postStep(page: string, step: unknown): Promise<void> {
  await call(page, 'steps', step);
}

/** What the API says to a GET, or, with a body, to a POST; throws on a problem. */
export async function call<Answer>(
  page: string,
  path: string,
  body?: unknown,
  method = body === undefined ? 'GET' : 'POST',
): Promise<Answer> {
  const response = await fetch(`${page}/api/v1/${path}`, {
    method,
    ...(body === undefined
      ? {}
      : { headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) }),
  });
  if (!response.ok) throw new Error(`${response.status}: ${await response.text()}`);
  return (await response.json()) as Answer;
}

/** The event stream from its beginning, kept, and awaited. */
export class Stream {
  readonly events: CloudEvent[] = [];
  readonly #socket: WebSocket;
  readonly #waiting = new Set<() => void>();

  constructor(page: string, after = 0) {
    this.#socket = new WebSocket(`${page.replace('http', 'ws')}/api/v1/stream?after=${after}`);
    this.#socket.on('message', (data: Buffer) => {
      this.events.push(JSON.parse(data.toString()) as CloudEvent);
      for (const look of [...this.#waiting]) look();
    });
  }

  /** The first event with a sequence above `after` that matches; waits for it. */
  next(
    type: string,
    fields: Readonly<Record<string, unknown>>,
    after = 0,
    waitMs = 60_000,
  ): Promise<CloudEvent> {
    const find = (): CloudEvent | undefined =>
      this.events.find(
        (event) =>
          event.sequence > after &&
          event.type === `leakbench.${type}` &&
          Object.entries(fields).every(([name, value]) => event.data.fields[name] === value),
      );
    return new Promise((resolve, reject) => {
      const timer = setTimeout(() => {
        this.#waiting.delete(look);
        const last = this.events
          .slice(-5)
          .map((event) => `${event.sequence} ${event.type} ${event.data.text}`);
        reject(new Error(`no ${type} ${JSON.stringify(fields)} after ${after}; last:\n${last.join('\n')}`));
      }, waitMs);
      const look = (): void => {
        const found = find();
        if (found === undefined) return;
        clearTimeout(timer);
        this.#waiting.delete(look);
        resolve(found);
      };
      this.#waiting.add(look);
      look();
    });
  }

  close(): void {
    this.#socket.terminate();
  }
}
