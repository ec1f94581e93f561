/** A client that sends bytes as told, whole or broken, and reads what comes; over a real socket. */
import { once } from 'node:events';
import { connect, type Socket } from 'node:net';
import { encodeFrame, encodeRtu, type Incoming, mbapParser } from '../../../src/modbus/index.ts';
import { unitId } from '../../../src/units/index.ts';
import { type Inbox, inbox } from './inbox.ts';

export interface RawClient extends Pick<Inbox, 'read' | 'rest' | 'empty'> {
  readonly socket: Socket;
  readonly send: (bytes: Uint8Array) => void;
  /** Settles when the connection is gone, for whatever reason. */
  readonly gone: Promise<void>;
}

/** Connects over loopback. `paused`: reads nothing until `socket.resume()`. */
export async function rawClient(
  port: number,
  options: { readonly paused?: boolean; readonly localAddress?: string } = {},
): Promise<RawClient> {
  const { localAddress = '127.0.0.1', paused = false } = options;
  const socket = connect({ host: '127.0.0.1', port, localAddress, noDelay: true });
  const { push, end, read, rest, empty } = inbox();
  socket.on('error', () => undefined);
  const gone = new Promise<void>((settle) => {
    socket.on('close', () => {
      end();
      settle();
    });
  });
  socket.on('data', push);
  if (paused) socket.pause();
  await once(socket, 'connect');
  return {
    socket,
    gone,
    read,
    rest,
    empty,
    send: (bytes) => {
      socket.write(bytes);
    },
  };
}

/** A whole frame: transaction id, unit id, PDU. */
export function frame(transactionId: number, unit: number, ...pdu: readonly number[]): Uint8Array {
  return encodeFrame(transactionId, unitId(unit), Uint8Array.from(pdu));
}

/** A whole RTU frame: unit id, PDU, checksum. */
export function rtu(unit: number, ...pdu: readonly number[]): Uint8Array {
  return encodeRtu(unit, Uint8Array.from(pdu));
}

export function bytes(...parts: readonly Uint8Array[]): Buffer {
  return Buffer.concat(parts);
}

/** The frames in these bytes, as [transaction id, unit id, ...PDU]; throws on anything that is no frame. */
export function framesOf(stream: Uint8Array): readonly (readonly number[])[] {
  const parser = mbapParser();
  parser.feed(stream);
  const frames: (readonly number[])[] = [];
  for (let next: Incoming | undefined = parser.next(); next !== undefined; next = parser.next()) {
    if (next.kind !== 'frame') throw new Error(`not a frame: ${next.kind}`);
    frames.push([next.transactionId, next.unitId, ...next.pdu]);
  }
  if (parser.pendingBytes() > 0) throw new Error(`${parser.pendingBytes()} bytes of half a frame`);
  return frames;
}
