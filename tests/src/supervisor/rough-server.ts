/** A Modbus TCP server that does with each request whatever a test wants, over a real socket. */
import { once } from 'node:events';
import { createServer, type Server, type Socket } from 'node:net';
import { Worker } from 'node:worker_threads';

/** What to do with a request: it is given the request's bytes and the socket. */
export type Manner = (request: Buffer, socket: Socket) => void;

export interface FrameChange {
  readonly transaction?: number;
  readonly protocol?: number;
  readonly unit?: number;
  /** What the length field says; left out: the truth. */
  readonly length?: number;
}

/** A frame that answers this request, but for what is changed. */
export function answerTo(request: Buffer, pdu: readonly number[], change: FrameChange = {}): Buffer {
  const head = Buffer.alloc(7);
  head.writeUInt16BE(change.transaction ?? request.readUInt16BE(0), 0);
  head.writeUInt16BE(change.protocol ?? 0, 2);
  head.writeUInt16BE(change.length ?? pdu.length + 1, 4);
  head[6] = change.unit ?? request.readUInt8(6);
  return Buffer.concat([head, Buffer.from(pdu)]);
}

export interface RoughServer {
  readonly port: number;
  close(): Promise<void>;
}

/** Treats its requests in these manners in turn, and as `ever` after; port 0 takes any. */
export async function roughServer(
  manners: readonly Manner[],
  ever: Manner,
  port = 0,
  greet: (socket: Socket) => void = () => undefined,
): Promise<RoughServer> {
  const left = [...manners];
  const sockets = new Set<Socket>();
  const server: Server = createServer((socket) => {
    sockets.add(socket);
    socket.on('error', () => undefined);
    socket.on('data', (request) => {
      (left.shift() ?? ever)(request, socket);
    });
    greet(socket);
  });
  server.listen(port, '127.0.0.1');
  await once(server, 'listening');
  return {
    port: (server.address() as { port: number }).port,
    async close() {
      for (const socket of sockets) socket.destroy();
      server.close();
      await once(server, 'close');
    },
  };
}

/** A port whose process no longer takes connections: its short queue fills, and connects hang half-open. */
export async function stuckServer(): Promise<RoughServer> {
  const worker = new Worker(STUCK, { eval: true });
  const [port] = (await once(worker, 'message')) as [number];
  return {
    port,
    async close() {
      await worker.terminate();
    },
  };
}

const STUCK = `
  const { parentPort } = require('node:worker_threads');
  const server = require('node:net').createServer();
  server.listen({ port: 0, host: '127.0.0.1', backlog: 1 }, () => {
    parentPort.postMessage(server.address().port);
    // The message goes first; then nothing on this thread ever runs again.
    setImmediate(() => Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0));
  });
`;
