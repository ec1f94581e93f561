/** What an address says of its line: how it is opened, how its frames look, and what parts two of them. */
import { serialTimes } from '../modbus/index.ts';
import { BAUD_DEFAULT, type BusAddress, PARITY_DEFAULT, stopBitsFor } from '../rig/index.ts';
import type { LineOptions } from './framed-line.ts';
import { socketLine } from './raw-line.ts';
import { serialLine } from './serial-line.ts';

const US_PER_MS = 1000;
/** How most serial lines behind a socket are set: whoever passes our bytes on needs their silence. */
const BEHIND_SOCKET = { baud: BAUD_DEFAULT, parity: PARITY_DEFAULT, stopBits: stopBitsFor(PARITY_DEFAULT) };

export function lineAt(address: BusAddress): Pick<LineOptions, 'open' | 'framing' | 'silenceMs'> {
  const isPort = address.kind === 'rtu';
  return {
    open: isPort ? serialLine(address) : socketLine(address),
    framing: address.kind === 'tcp' ? 'mbap' : 'rtu',
    silenceMs: serialTimes(isPort ? address : BEHIND_SOCKET).silenceUs / US_PER_MS,
  };
}
