/**
 * The load: a process of its own that asks one Modbus TCP server for eight input registers, over and over, by
 * plain sockets. Takes a load as a message, says what came of it in another.
 *
 * Answers are counted by their length: whoever takes them apart would measure itself. The first one of each
 * connection is looked at.
 */
import { once } from 'node:events';
import { connect, type Socket } from 'node:net';
import { performance } from 'node:perf_hooks';
import { ANSWER_BEGINS, ANSWER_BYTES, REQUEST_BYTES, REQUEST_PDU, UNIT } from './request.ts';

export interface Load {
  readonly port: number;
  readonly connections: number;
  /** Requests that each connection has under way. */
  readonly outstanding: number;
  readonly ms: number;
}

export interface Done {
  readonly answers: number;
  readonly tookMs: number;
}

process.on('message', (load: Load) => {
  void carriedOut(load).then((done) => process.send?.(done));
});

async function carriedOut({ port, connections, outstanding, ms }: Load): Promise<Done> {
  const sockets = Array.from({ length: connections }, () =>
    connect({ host: '127.0.0.1', port, noDelay: true }),
  );
  await Promise.all(sockets.map((socket) => once(socket, 'connect')));
  const began = performance.now();
  const done = await Promise.all(sockets.map((socket) => keepAsking(socket, outstanding, began + ms)));
  const tookMs = performance.now() - began;
  for (const socket of sockets) socket.destroy();
  return { answers: done.reduce((sum, one) => sum + one, 0), tookMs };
}

/** How many answers came; settles when the last one has, after the end. */
function keepAsking(socket: Socket, outstanding: number, endsAtMs: number): Promise<number> {
  const requests = runOfRequests(outstanding);
  return new Promise((settle, reject) => {
    let asked = 0;
    let bytes = 0;
    const ask = (count: number): void => {
      // Numbers run on where the last ones ended, so that no two under way are the same.
      const from = asked % outstanding;
      socket.write(requests.subarray(from * REQUEST_BYTES, (from + count) * REQUEST_BYTES));
      asked += count;
    };
    socket.on('error', reject);
    socket.on('close', () => {
      reject(new Error('the server hung up'));
    });
    socket.on('data', (chunk) => {
      if (bytes === 0 && ANSWER_BEGINS.some((byte, at) => chunk[at] !== byte))
        reject(new Error(`not the answer: ${chunk.toString('hex')}`));
      const before = Math.floor(bytes / ANSWER_BYTES);
      bytes += chunk.length;
      const answered = Math.floor(bytes / ANSWER_BYTES);
      if (performance.now() < endsAtMs) ask(answered - before);
      else if (bytes === asked * ANSWER_BYTES) settle(answered);
    });
    ask(outstanding);
  });
}

/** Twice as many as are ever under way, numbered in turn: any run of them can be cut out of it. */
function runOfRequests(outstanding: number): Buffer {
  const numbers = Array.from({ length: 2 * outstanding }, (_, at) => at % outstanding);
  return Buffer.from(numbers.flatMap((number) => [0, number, 0, 0, 0, 6, UNIT, ...REQUEST_PDU]));
}
