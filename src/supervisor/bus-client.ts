/** One line, asked as its address says; whatever the kind, every trouble comes out as an outcome. */
import { type LineWatcher, lineAt } from '../line/index.ts';
import { addressText, type BusAddress } from '../rig/index.ts';
import type { BusClient } from './bus.ts';
import { rtuBus } from './rtu-bus.ts';
import { tcpBus } from './tcp-bus.ts';

export type { BusClient } from './bus.ts';

export function busClient(address: BusAddress, watcher: LineWatcher): BusClient {
  if (address.kind === 'tcp') return tcpBus(address, watcher);
  const dropsUnheard = address.kind === 'rtu+tcp';
  return rtuBus({ ...lineAt(address), address: addressText(address), dropsUnheard }, watcher);
}
