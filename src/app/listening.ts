/** The lines of a world on their ports: for a bench and for a live drill alike. */
import { PortInUse } from '../../sim/wire/tcp-face.ts';
import type { LiveWorld } from '../../sim/world/index.ts';
import type { Rig, TcpAddress } from '../rig/index.ts';
import { isLoopback } from './rig-option.ts';
import { EXIT, Stop } from './stop.ts';

/**
 * Opens every address of every line, those of `bus` in place of the rig's own. Throws Stop where a port cannot
 * be had; warns of a line that others could reach.
 */
export async function listenOnLines(
  live: LiveWorld,
  rig: Rig,
  bus: ReadonlyMap<string, TcpAddress>,
): Promise<void> {
  const listenOf = (line: string): readonly TcpAddress[] => {
    const given = bus.get(line);
    return given === undefined ? (rig.lines.find(({ id }) => id === line)?.listen ?? []) : [given];
  };
  try {
    await live.listen(listenOf);
  } catch (error) {
    throw cannotListen(error);
  }
  for (const { line, host, port } of live.addresses) {
    if (isLoopback(host)) continue;
    process.stderr.write(
      `warning: line ${line} listens on ${textOf({ host, port })}: Modbus has no authentication; ` +
        'keep it on an isolated network, or list the peers under "allow"\n',
    );
  }
}

/** Where the supervisor finds each line of a world in this process. */
export function firstAddresses(rig: Rig, world: LiveWorld): readonly TcpAddress[] {
  return rig.lines.map((line) => {
    const found = world.addresses.find((address) => address.line === line.id);
    if (found === undefined) throw new Error(`line ${line.id} does not listen`);
    // A wildcard is where one listens, not where one connects to.
    return {
      host: found.host === '0.0.0.0' ? '127.0.0.1' : found.host === '::' ? '::1' : found.host,
      port: found.port,
    };
  });
}

export function textOf(address: TcpAddress | undefined): string {
  if (address === undefined) return '';
  const host = address.host.includes(':') ? `[${address.host}]` : address.host;
  return `tcp://${host}:${address.port}`;
}

/** What to throw in place of the error of a face; any other error as it is. */
function cannotListen(error: unknown): unknown {
  if (error instanceof PortInUse) {
    return new Stop(
      EXIT.surroundings,
      `port ${error.port} on ${error.host} is in use; end what listens there, or choose another with --bus tcp://HOST:PORT`,
    );
  }
  const code = error instanceof Error && 'code' in error ? String(error.code) : '';
  return code === ''
    ? error
    : new Stop(EXIT.surroundings, `a line cannot listen (${code}); check its address`);
}
