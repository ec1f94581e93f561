/** Options of the verbs that ask on somebody's line. */
import type { Command } from 'commander';

/** Written out here, since the address module would be loaded for --help too. */
export const BUS =
  'tcp://HOST:PORT, rtu+tcp://HOST:PORT or rtu:///dev/ttyUSB0?baud=19200&parity=even; LINE=ADDRESS for another line than the first';

export function lineOptions(command: Command): Command {
  return command
    .option('--bus <address>', `the bus to ask on: ${BUS}`, collect, [])
    .option('--timeout <time>', 'how long to wait for an answer (default: the line’s, from the rig)')
    .option('--alone', 'the word that nobody else asks on the serial line now: the controller is unplugged');
}

/** An option that may stand several times. */
export function collect(value: string, before: readonly string[]): readonly string[] {
  return [...before, value];
}
