/** A Modbus TCP server that answers every request by a rule of its own, whatever unit it is for. */
import { once } from 'node:events';
import { type AddressInfo, createServer, type Socket } from 'node:net';
import { encodeFrame, mbapParser } from '../../src/modbus/index.ts';

export interface OddServer {
  readonly address: string;
  /** Function codes that were asked for. */
  readonly asked: readonly number[];
  readonly close: () => void;
}

/** undefined leaves a request without an answer. */
export async function oddServer(
  answer: (unitId: number, pdu: Uint8Array) => Uint8Array | undefined,
): Promise<OddServer> {
  const sockets = new Set<Socket>();
  const asked: number[] = [];
  const server = createServer((socket) => {
    sockets.add(socket);
    socket.on('error', () => undefined);
    const parser = mbapParser();
    socket.on('data', (chunk) => {
      parser.feed(chunk);
      for (let frame = parser.next(); frame !== undefined; frame = parser.next()) {
        if (frame.kind !== 'frame') continue;
        asked.push(frame.pdu[0] ?? 0);
        const pdu = answer(frame.unitId, frame.pdu);
        if (pdu !== undefined) socket.write(encodeFrame(frame.transactionId, frame.unitId, pdu));
      }
    });
  });
  server.listen(0, '127.0.0.1');
  await once(server, 'listening');
  return {
    address: `tcp://127.0.0.1:${(server.address() as AddressInfo).port}`,
    asked,
    close() {
      for (const socket of sockets) socket.destroy();
      server.close();
    },
  };
}
