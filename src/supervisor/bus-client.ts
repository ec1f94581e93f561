/** One line, asked as its address says; whatever the kind, every trouble comes out as an outcome. */
import { serialTimes } from '../modbus/index.ts';
import { addressText, BAUD_DEFAULT, type BusAddress, PARITY_DEFAULT, stopBitsFor } from '../rig/index.ts';
import type { BusClient, BusWatcher } from './bus.ts';
import { socketLine } from './raw-line.ts';
import { rtuBus } from './rtu-bus.ts';
import { serialLine } from './serial-line.ts';
import { tcpBus } from './tcp-bus.ts';

export type { BusClient } from './bus.ts';

const US_PER_MS = 1000;
/** How most serial lines behind a socket are set: whoever passes our bytes on needs their silence. */
const BEHIND_SOCKET = { baud: BAUD_DEFAULT, parity: PARITY_DEFAULT, stopBits: stopBitsFor(PARITY_DEFAULT) };

export function busClient(address: BusAddress, watcher: BusWatcher): BusClient {
  const text = addressText(address);
  switch (address.kind) {
    case 'tcp':
      return tcpBus(address, watcher);
    case 'rtu+tcp': {
      const silenceMs = serialTimes(BEHIND_SOCKET).silenceUs / US_PER_MS;
      return rtuBus({ address: text, open: socketLine(address), silenceMs, dropsUnheard: true }, watcher);
    }
    case 'rtu': {
      const silenceMs = serialTimes(address).silenceUs / US_PER_MS;
      return rtuBus({ address: text, open: serialLine(address), silenceMs, dropsUnheard: false }, watcher);
    }
  }
}
