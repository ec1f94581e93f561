/** Opens a serial port, by a package that need not be installed: without it all but serial lines works. */
import { stat } from 'node:fs/promises';
import type { SerialPort } from 'serialport';
import type { SerialAddress } from '../../src/rig/index.ts';
import { messageOf } from '../../src/text/message-of.ts';

export interface OpenPort {
  readonly port: SerialPort;
  /** Whether the path still leads to what it led to when the port was opened. */
  readonly isThere: () => Promise<boolean>;
}

/** What there is of the package; a function, so that it is loaded when a serial line is asked for. */
export type LoadSerial = () => Promise<Pick<typeof import('serialport'), 'SerialPort'>>;

/** The package is not there, or has no build for this machine. */
export class SerialMissing extends Error {
  constructor(path: string, reason: string) {
    super(
      `${path} needs the package serialport, which does not load here (${reason}); npm install serialport`,
    );
    this.name = 'SerialMissing';
  }
}

/** There is no such port, somebody has it already, or this user may not. */
export class SerialUnusable extends Error {
  readonly path: string;
  /** As the system says it. */
  readonly reason: string;

  constructor(path: string, reason: string) {
    super(`the serial port ${path} cannot be opened: ${reason}`);
    this.name = 'SerialUnusable';
    this.path = path;
    this.reason = reason;
  }
}

/** RTU sends a byte as one character of eight bits (MB-SER 2.5.1). */
const DATA_BITS = 8;

/** Rejects with SerialMissing or SerialUnusable. */
export async function openSerialPort(
  { path, baud, parity, stopBits }: SerialAddress,
  load: LoadSerial = () => import('serialport'),
): Promise<OpenPort> {
  const { SerialPort } = await load().catch((error: unknown) => {
    throw new SerialMissing(path, firstLineOf(error));
  });
  const identity = await identityOf(path);
  const port = new SerialPort({
    path,
    baudRate: baud,
    parity,
    stopBits,
    dataBits: DATA_BITS,
    autoOpen: false,
  });
  await new Promise<void>((settle, reject) => {
    port.open((error) => {
      if (error === null) settle();
      else reject(new SerialUnusable(path, firstLineOf(error)));
    });
  });
  // Whoever asked before we were there has given up by now. A driver that cannot flush has nothing kept.
  await new Promise<void>((settle) => {
    port.flush(() => {
      settle();
    });
  });
  return {
    port,
    isThere: async () => identity === undefined || identity === (await identityOf(path)),
  };
}

/** Undefined where there is no such file; some systems have ports that are none. */
async function identityOf(path: string): Promise<string | undefined> {
  const found = await stat(path).catch(() => undefined);
  return found === undefined ? undefined : `${found.dev} ${found.ino} ${found.rdev}`;
}

function firstLineOf(error: unknown): string {
  const [line = ''] = messageOf(error).split('\n');
  return line.replace(/^Error: /u, '');
}
