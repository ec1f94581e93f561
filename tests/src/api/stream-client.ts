/** A client of the event stream, on the `ws` library. */
import { once } from 'node:events';
import type { IncomingMessage } from 'node:http';
import { onTestFinished } from 'vitest';
import { type ClientOptions, WebSocket } from 'ws';
import type { CloudEvent } from '../../../src/events/index.ts';
import type { Answer } from './ask.ts';

export interface StreamClient {
  readonly socket: WebSocket;
  /** What it has got so far, in order. */
  readonly events: CloudEvent[];
  /** Waits until it has got the event of this sequence. */
  readonly got: (sequence: number) => Promise<void>;
  readonly closed: Promise<{ readonly code: number; readonly reason: string }>;
}

/** `query` goes behind the question mark. The socket is open when it returns, or soon closed. */
export async function openStream(
  url: string,
  query = '',
  options: ClientOptions = {},
): Promise<StreamClient> {
  const socket = new WebSocket(streamUrl(url, query), options);
  onTestFinished(() => {
    socket.terminate();
  });
  const events: CloudEvent[] = [];
  let arrived = (): void => undefined;
  socket.on('message', (data: Buffer) => {
    events.push(JSON.parse(data.toString()) as CloudEvent);
    arrived();
  });
  const closed = new Promise<{ code: number; reason: string }>((resolve) => {
    socket.on('close', (code, reason) => {
      resolve({ code, reason: reason.toString() });
      arrived();
    });
  });
  await once(socket, 'open');
  const got = async (sequence: number): Promise<void> => {
    while ((events.at(-1)?.sequence ?? 0) < sequence && socket.readyState !== socket.CLOSED) {
      await new Promise<void>((resolve) => {
        arrived = resolve;
      });
    }
  };
  return { socket, events, got, closed };
}

/** The answer to a handshake that must be refused. */
export async function refusedStream(url: string, query = '', options: ClientOptions = {}): Promise<Answer> {
  const socket = new WebSocket(streamUrl(url, query), options);
  const [, answer] = (await once(socket, 'unexpected-response')) as [unknown, IncomingMessage];
  let text = '';
  for await (const chunk of answer) text += String(chunk);
  return { status: answer.statusCode ?? 0, headers: answer.headers, text };
}

function streamUrl(url: string, query: string): string {
  return `${url.replace(/^http/u, 'ws')}/api/v1/stream?${query}`;
}
