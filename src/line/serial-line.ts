/**
 * A serial port as bare bytes. The package that speaks to ports is optional, since it brings a compiled part
 * and most benches have no port: it is loaded when a port is opened.
 */
import type { SerialPort } from 'serialport';
import type { SerialAddress } from '../rig/index.ts';
import { messageOf } from '../text/message-of.ts';
import type { OpenLine } from './raw-line.ts';
import { CONNECT_MS_MAX, within } from './within.ts';

export function serialLine(address: SerialAddress): OpenLine {
  return async (listener) => {
    const port = await opened(address);
    let isOpen = true;
    // Without a listener an error event would end the process; what it means comes with the close.
    port.on('error', () => undefined);
    port.on('data', (bytes: Uint8Array) => {
      if (isOpen) listener.heard(bytes);
    });
    port.on('close', (error: Error | null | undefined) => {
      if (isOpen) listener.ended(error?.message ?? 'the port was closed');
      isOpen = false;
    });
    return {
      // A port that is gone refuses to write, and says so by closing.
      write: (bytes) => void port.write(bytes, () => undefined),
      close() {
        isOpen = false;
        port.close(() => undefined);
      },
    };
  };
}

/** Why the port cannot be had, null where it can: opens it and lets it go again. */
export async function probeSerial(address: SerialAddress): Promise<string | null> {
  try {
    const port = await opened(address);
    await new Promise<void>((resolve) => {
      port.close(() => {
        resolve();
      });
    });
    return null;
  } catch (error) {
    return messageOf(error);
  }
}

async function opened({ path, baud, parity, stopBits }: SerialAddress): Promise<SerialPort> {
  const { SerialPort } = await serialPackage();
  const settings = { path, baudRate: baud, dataBits: 8, parity, stopBits, autoOpen: false } as const;
  const port = new SerialPort(settings);
  const opening = new Promise<void>((resolve, reject) => {
    port.open((error) => {
      if (error === null) resolve();
      else reject(error);
    });
  });
  const settled = await within(opening, CONNECT_MS_MAX);
  if (settled.kind === 'done') return port;
  if (settled.kind === 'failed') throw settled.error;
  // Should it open yet, nobody wants it any more.
  void opening.then(
    () => {
      port.close(() => undefined);
    },
    () => undefined,
  );
  throw new Error('the port did not open in time');
}

async function serialPackage(): Promise<typeof import('serialport')> {
  try {
    return await import('serialport');
  } catch (error) {
    const missing = error instanceof Error && 'code' in error && error.code === 'ERR_MODULE_NOT_FOUND';
    const why = missing ? 'is not installed' : `does not load (${messageOf(error)})`;
    throw new Error(`the package for serial ports ${why}: npm install serialport`, { cause: error });
  }
}
