/** Whether anybody is at an address: said once, plainly, before a long run begins. */
import { connect } from 'node:net';
import { probeSerial } from '../line/index.ts';
import type { BusAddress, SocketAddress } from '../rig/index.ts';

const PROBE_MS_MAX = 2000;

/** null where a connection was made, or the serial port opened; else why not. */
export function probe(address: BusAddress): Promise<string | null> {
  return address.kind === 'rtu' ? probeSerial(address) : probeSocket(address);
}

function probeSocket({ host, port }: SocketAddress): Promise<string | null> {
  return new Promise((resolve) => {
    const socket = connect({ host, port });
    const settle = (reason: string | null): void => {
      clearTimeout(timer);
      socket.destroy();
      resolve(reason);
    };
    const timer = setTimeout(() => {
      settle('no connection within 2 s');
    }, PROBE_MS_MAX);
    socket.on('connect', () => {
      settle(null);
    });
    socket.on('error', (error: NodeJS.ErrnoException) => {
      settle(error.code === 'ECONNREFUSED' ? 'nobody listens there' : (error.code ?? error.message));
    });
  });
}
