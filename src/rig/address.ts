/** Where a line is: a TCP port that speaks Modbus TCP or RTU, or a serial port. As text and as values. */
import { z } from 'zod';
import { suggestion } from '../files/index.ts';
import type { Framing, Parity, SerialSettings } from '../modbus/index.ts';

export type BusAddress = SocketAddress | SerialAddress;

/** `rtu+tcp`: RTU frames, checksum and all, through a socket. */
export interface SocketAddress {
  readonly kind: 'tcp' | 'rtu+tcp';
  readonly host: string;
  readonly port: number;
}

export interface SerialAddress extends SerialSettings {
  readonly kind: 'rtu';
  readonly path: string;
}

export const ADDRESS_EXAMPLES =
  'tcp://127.0.0.1:1502, rtu+tcp://127.0.0.1:1503 or rtu:///dev/ttyUSB0?baud=19200&parity=even';

const SOCKET = /^(tcp|rtu\+tcp):\/\/(\[[0-9a-fA-F:.]+\]|[^:/?#[\]\s]+):(\d{1,5})$/u;
const SERIAL = /^rtu:\/\/(\/?[^?#\s]+)(?:\?(\S*))?$/u;
const PORT_MAX = 65_535;

/** The speed that MB-SER 2.2.1 names as the default, with the parity of 2.5.1. */
export const BAUD_DEFAULT = 19_200;
export const PARITY_DEFAULT: Parity = 'even';
export const BAUD_MIN = 300;
export const BAUD_MAX = 1_000_000;
export const PARITIES = ['none', 'even', 'odd'] as const satisfies readonly Parity[];

/** Without parity a second stop bit keeps the character at 11 bits (MB-SER 2.5.1). */
export function stopBitsFor(parity: Parity): 1 | 2 {
  return parity === 'none' ? 2 : 1;
}

/** An address as written; a string in place of it says what is wrong. */
export function parseAddress(written: string): BusAddress | string {
  const text = written.trim();
  const [, kind, host, port] = SOCKET.exec(text) ?? [];
  if (port !== undefined && Number(port) > PORT_MAX)
    return `port ${port} is past ${PORT_MAX}, the last there is`;
  if (kind !== undefined && host !== undefined) {
    return {
      kind: kind === 'tcp' ? 'tcp' : 'rtu+tcp',
      host: host.replace(/^\[|\]$/gu, ''),
      port: Number(port),
    };
  }
  const [, path, settings] = SERIAL.exec(text) ?? [];
  if (path !== undefined) return serialAddress(path, settings ?? '');
  return `"${text}" is not an address; write ${ADDRESS_EXAMPLES}`;
}

const SETTINGS = ['baud', 'parity', 'stop'];

function serialAddress(path: string, settings: string): SerialAddress | string {
  const given = new URLSearchParams(settings);
  for (const name of given.keys()) {
    if (!SETTINGS.includes(name)) return `a serial line has no "${name}"; ${suggestion(name, SETTINGS)}`;
  }
  const baud = Number(given.get('baud') ?? BAUD_DEFAULT);
  if (!Number.isInteger(baud) || baud < BAUD_MIN || baud > BAUD_MAX)
    return `baud takes bits a second, ${BAUD_MIN} to ${BAUD_MAX}, such as ${BAUD_DEFAULT}`;
  const parityGiven = given.get('parity') ?? PARITY_DEFAULT;
  const parity = PARITIES.find((one) => one === parityGiven);
  if (parity === undefined) return 'parity takes none, even or odd';
  const stop = given.get('stop');
  if (stop !== null && stop !== '1' && stop !== '2') return 'stop takes 1 or 2 stop bits';
  const stopBits = stop === null ? stopBitsFor(parity) : stop === '1' ? 1 : 2;
  return { kind: 'rtu', path, baud, parity, stopBits };
}

/** An address as one would write it. */
export function addressText(address: BusAddress): string {
  if (address.kind === 'rtu') {
    const { path, baud, parity, stopBits } = address;
    const stop = stopBits === stopBitsFor(parity) ? '' : `&stop=${stopBits}`;
    return `rtu://${path}?baud=${baud}&parity=${parity}${stop}`;
  }
  const host = address.host.includes(':') ? `[${address.host}]` : address.host;
  return `${address.kind}://${host}:${address.port}`;
}

/** Whether no two can have them at once; port 0 is whatever the system has free, and in nobody's way. */
export function clashes(one: BusAddress, other: BusAddress): boolean {
  if (one.kind === 'rtu' || other.kind === 'rtu')
    return one.kind === 'rtu' && other.kind === 'rtu' && one.path === other.path;
  return one.port !== 0 && one.port === other.port && one.host === other.host;
}

export const busAddress = z
  .string({ error: `takes an address, such as ${ADDRESS_EXAMPLES}` })
  .transform((text, context) => {
    const address = parseAddress(text);
    if (typeof address !== 'string') return address;
    context.addIssue({ code: 'custom', message: address });
    return z.NEVER;
  })
  .meta({ description: `an address: ${ADDRESS_EXAMPLES}` });

/**
 * Where a supervisor in the bench's own process finds a line: at the first address that is no serial port,
 * since a port cannot be opened twice. Null where there are ports alone.
 */
export function supervisorAddress(listen: readonly BusAddress[]): SocketAddress | null {
  return listen.find((address) => address.kind !== 'rtu') ?? null;
}

/** In what frames a supervisor in the bench's own process asks on a line. */
export function framingOf({ listen }: { readonly listen: readonly BusAddress[] }): Framing['kind'] {
  return supervisorAddress(listen)?.kind === 'tcp' ? 'mbap' : 'rtu';
}
