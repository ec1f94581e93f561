/** The lines of a world at their addresses: for a bench and for a live drill alike. */
import { SerialMissing, SerialUnusable } from '../../sim/wire/serial-port.ts';
import { PortInUse } from '../../sim/wire/tcp-face.ts';
import type { LiveWorld } from '../../sim/world/index.ts';
import { isLoopback } from '../api/addresses.ts';
import { addressText, type BusAddress, type Rig, supervisorAddress } from '../rig/index.ts';
import { EXIT, Stop } from './stop.ts';

/**
 * Opens every address of every line, those of `bus` in place of the rig's own. Throws Stop where one cannot
 * be had; warns of a line that others could reach.
 */
export async function listenOnLines(
  live: LiveWorld,
  rig: Rig,
  bus: ReadonlyMap<string, BusAddress>,
): Promise<void> {
  try {
    await live.listen((line) => listenOf(rig, line, bus));
  } catch (error) {
    throw cannotListen(error);
  }
  for (const { line, address } of live.addresses) {
    if (address.kind === 'rtu' || isLoopback(address.host)) continue;
    process.stderr.write(
      `warning: line ${line} listens on ${addressText(address)}: Modbus has no authentication; ` +
        'keep it on an isolated network, or list the peers under "allow"\n',
    );
  }
}

/** Throws Stop where a supervisor in this process would find a line at no address. */
export function mustBeSupervised(rig: Rig, bus: ReadonlyMap<string, BusAddress>): void {
  for (const { id } of rig.lines) {
    if (supervisorAddress(listenOf(rig, id, bus)) !== null) continue;
    throw new Stop(
      EXIT.usage,
      `line ${id} has a serial port alone, which the supervisor of the same bench cannot open too; ` +
        'list a second address under "listen" for it, such as rtu+tcp://127.0.0.1:1503, ' +
        'or run leakbench sim here and leakbench supervise at the other end of the serial line',
    );
  }
}

/** Where the supervisor finds each line of a world in this process. */
export function supervisedAddresses(rig: Rig, live: LiveWorld): readonly BusAddress[] {
  return rig.lines.map(({ id }) => {
    const found = supervisorAddress(addressesOf(live, id));
    if (found === null) throw new Error(`line ${id} listens on no socket`);
    // A wildcard is where one listens, not where one connects to.
    const host = found.host === '0.0.0.0' ? '127.0.0.1' : found.host === '::' ? '::1' : found.host;
    return { ...found, host };
  });
}

/** Where a line of a world really is, in the order it was asked to. */
export function addressesOf(live: LiveWorld, line: string): readonly BusAddress[] {
  return live.addresses.filter((one) => one.line === line).map(({ address }) => address);
}

function listenOf(rig: Rig, line: string, bus: ReadonlyMap<string, BusAddress>): readonly BusAddress[] {
  const given = bus.get(line);
  return given === undefined ? (rig.lines.find(({ id }) => id === line)?.listen ?? []) : [given];
}

/** What to throw in place of the error of a face; any other error as it is. */
function cannotListen(error: unknown): unknown {
  if (error instanceof PortInUse) {
    return new Stop(
      EXIT.surroundings,
      `port ${error.port} on ${error.host} is in use; end what listens there, or choose another with --bus`,
    );
  }
  if (error instanceof SerialMissing) return new Stop(EXIT.surroundings, error.message);
  if (error instanceof SerialUnusable) {
    return new Stop(
      EXIT.surroundings,
      `${error.message}; check the path, and that nobody else has it open, or choose another with --bus`,
    );
  }
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  return code === ''
    ? error
    : new Stop(EXIT.surroundings, `a line cannot listen (${code}); check its address`);
}
