/** A line as bare bytes: over a socket here, over a serial port in serial-line.ts. */
import { once } from 'node:events';
import { connect } from 'node:net';
import type { SocketAddress } from '../rig/index.ts';
import { messageOf } from '../text/message-of.ts';
import { CONNECT_MS_MAX, within } from './within.ts';

export interface RawLine {
  write(bytes: Uint8Array): void;
  /** Nothing is heard of the line after that, not even that it has ended. */
  close(): void;
}

export interface LineListener {
  heard(bytes: Uint8Array): void;
  /** Once, and last. */
  ended(reason: string): void;
}

/** Opens the line; rejects with what stood in the way. */
export type OpenLine = (listener: LineListener) => Promise<RawLine>;

export function socketLine({ host, port }: SocketAddress): OpenLine {
  return async (listener) => {
    // Requests are small and waited for, so they leave at once; a peer that vanished is found out in time.
    const socket = connect({ host, port, noDelay: true, keepAlive: true });
    const reached = await within(once(socket, 'connect'), CONNECT_MS_MAX);
    // Without a listener an error event on an idle connection would end the process.
    let reason = 'the connection was closed by the other side';
    socket.on('error', (error) => (reason = messageOf(error)));
    if (reached.kind !== 'done') {
      socket.destroy();
      throw reached.kind === 'failed' ? reached.error : new Error('nobody took it in time');
    }
    let isOpen = true;
    socket.on('data', (bytes) => {
      if (isOpen) listener.heard(bytes);
    });
    socket.on('close', () => {
      if (isOpen) listener.ended(reason);
      isOpen = false;
    });
    return {
      write: (bytes) => void socket.write(bytes),
      close() {
        isOpen = false;
        socket.destroy();
      },
    };
  };
}
