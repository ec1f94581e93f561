/** A client at the other end of a serial line: sends bytes as told, and reads what comes. */
import { SerialPort } from 'serialport';
import { type Inbox, inbox } from '../sim/wire/inbox.ts';

export interface SerialClient extends Pick<Inbox, 'read' | 'rest' | 'empty'> {
  /** Settles when the system has taken the bytes. */
  readonly send: (bytes: Uint8Array) => Promise<void>;
  /** Reads nothing more, so that the line fills. */
  readonly pause: () => void;
  readonly close: () => Promise<void>;
}

export async function serialClient(path: string, baudRate = 115_200): Promise<SerialClient> {
  const port = new SerialPort({ path, baudRate, autoOpen: false });
  await settled((done) => {
    port.open(done);
  });
  const { push, end, read, rest, empty } = inbox();
  port.on('data', push);
  port.on('close', end);
  port.on('error', () => undefined);
  return {
    read,
    rest,
    empty,
    send: (bytes) => settled((done) => port.write(Buffer.from(bytes), done)),
    pause: () => {
      port.pause();
    },
    close: async () => {
      if (port.isOpen)
        await settled((done) => {
          port.close(done);
        });
    },
  };
}

function settled(start: (done: (error?: Error | null) => void) => void): Promise<void> {
  return new Promise((settle, reject) => {
    start((error) => {
      if (error) reject(error);
      else settle();
    });
  });
}
