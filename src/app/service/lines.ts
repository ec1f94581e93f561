/** The lines that a survey or an assignment asks on: each with bus and time-out, and allowed to be asked. */
import { addressText, type BusAddress, type Rig } from '../../rig/index.ts';
import { durationOption } from '../duration-option.ts';
import { busOption } from '../rig-option.ts';
import { EXIT, Stop } from '../stop.ts';

export interface ServiceLine {
  readonly line: string;
  readonly address: BusAddress;
  readonly timeoutMs: number;
}

export interface LineOptions {
  readonly bus: readonly string[];
  readonly timeout?: string;
  /** The word that nobody else asks on the serial line now. */
  readonly alone?: true;
}

/** Throws Stop: a line without a bus, or a serial line without the word that it has no other master. */
export function serviceLines(
  rig: Rig,
  lines: readonly string[],
  options: LineOptions,
): readonly ServiceLine[] {
  const bus = busOption(options.bus, rig);
  const timeoutMs = options.timeout === undefined ? null : durationOption('--timeout', options.timeout);
  return lines.map((line) => {
    const address = bus.get(line);
    if (address === undefined) {
      throw new Stop(EXIT.usage, `line ${line} has no bus; add --bus ${line}=tcp://HOST:PORT`);
    }
    if (address.kind === 'rtu' && options.alone !== true) {
      throw new Stop(
        EXIT.usage,
        `${addressText(address)} is a serial line, which has one master at a time: unplug the controller, ` +
          'then say so with --alone',
      );
    }
    const own = rig.lines.find(({ id }) => id === line)?.timeoutMs ?? 0;
    return { line, address, timeoutMs: timeoutMs ?? own };
  });
}

export function lineGone(address: BusAddress, why: string, nothing: string): Stop {
  const reason = why.includes('ECONNREFUSED') ? 'nobody listens there' : why;
  return new Stop(
    EXIT.surroundings,
    `the bus at ${addressText(address)} cannot be reached: ${reason}; check the address, the gateway and ` +
      `the cable. ${nothing}`,
  );
}
