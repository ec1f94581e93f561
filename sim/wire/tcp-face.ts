/**
 * A server on a TCP port of one line, in our own frames: Modbus TCP, or RTU frames through a socket.
 *
 * The face owns sockets and limits; what the bytes mean is the dialogue's, what they get is `serve`'s.
 * Modbus has no authentication: the composition root decides where to listen and warns.
 */
import { once } from 'node:events';
import { type AddressInfo, BlockList, createServer, isIPv6, type Server, type Socket } from 'node:net';
import type { Framing } from '../../src/modbus/index.ts';
import type { SocketAddress } from '../../src/rig/index.ts';
import { type Dialogue, type SendLater, type Tally, zeroTally } from './dialogue.ts';
import type { Face } from './face.ts';
import { DEFAULT_LIMITS, type FaceLimits } from './face-limits.ts';
import { mbapDialogue } from './mbap-dialogue.ts';
import { type After, inRealTime } from './outlet.ts';
import { type RtuTimes, rtuDialogue } from './rtu-dialogue.ts';
import type { Serve } from './serve.ts';
import { type Connection, type Cutoffs, converse } from './tcp-connection.ts';

export interface TcpFaceOptions {
  readonly host: string;
  /** 0 takes any free port; `address` then tells which. */
  readonly port: number;
  /** Left out: `mbap`, as Modbus TCP has it. */
  readonly framing?: Framing['kind'];
  readonly serve: Serve;
  /** Peer addresses that may connect, IPv4 or IPv6; left out: any. Others are closed at once. */
  readonly allow?: readonly string[];
  readonly limits?: Partial<FaceLimits>;
  /** Times disturbed answers; left out: in real time. */
  readonly after?: After;
}

const US_PER_MS = 1000;

/** Counts since the face was opened. */
interface Counts extends Tally, Cutoffs {
  accepted: number;
  /** Peers that were not on the `allow` list. */
  refused: number;
  /** Connections closed to make room for newer ones. */
  evicted: number;
  /** Connections that the system could not hand over, for want of descriptors for instance. */
  notAccepted: number;
}

export interface TcpFaceStats extends Counts {
  /** Open at this moment. */
  connections: number;
}

/** A listening port with its connections. */
export interface TcpFace extends Face<TcpFaceStats> {
  readonly address: SocketAddress;
}

/** Somebody listens there already. */
export class PortInUse extends Error {
  readonly host: string;
  readonly port: number;

  constructor(host: string, port: number) {
    super(`port ${port} on ${host} is in use`);
    this.name = 'PortInUse';
    this.host = host;
    this.port = port;
  }
}

/** Rejects with PortInUse, or with Node's own error for an address that cannot be listened on. */
export async function openTcpFace(options: TcpFaceOptions): Promise<TcpFace> {
  const { host, port, framing = 'mbap', after = inRealTime } = options;
  const limits = { ...DEFAULT_LIMITS, ...options.limits };
  const mayConnect = admission(options.allow);
  const open = new Map<Socket, Connection>();
  const counts = zeroCounts();
  const dialogue = dialogues(framing, options.serve, counts, limits);
  let closing: Promise<void> | undefined;
  let uses = 0;
  const nextUse = () => (uses += 1);
  // Answers are small and waited for, so they leave at once; a peer that vanished is found out in time.
  const server = createServer({ noDelay: true, keepAlive: true }, (socket) => {
    if (!mayConnect(socket.remoteAddress)) {
      counts.refused += 1;
      socket.destroy();
      return;
    }
    counts.accepted += 1;
    if (open.size >= limits.connectionsMax) {
      counts.evicted += 1;
      cutOldestUnused(open);
    }
    open.set(socket, converse(socket, { dialogue, limits, cutoffs: counts, nextUse, after }));
    socket.on('close', () => open.delete(socket));
  });
  const bound = await listen(server, host, port);
  server.on('error', () => (counts.notAccepted += 1));
  return {
    address: { kind: framing === 'mbap' ? 'tcp' : 'rtu+tcp', ...bound },
    close: () => (closing ??= closed(server, open)),
    stats: () => ({ ...counts, connections: open.size }),
  };
}

/** What parts two frames on the serial line that a client may have behind its socket (MB-SER 2.5.1.1). */
const RTU_SILENCE_MS = 2;

/** Makes the dialogues of a face's connections. */
function dialogues(
  framing: Framing['kind'],
  serve: Serve,
  tally: Tally,
  { quietMs }: FaceLimits,
): (sendLater: SendLater) => Dialogue {
  if (framing === 'mbap') return (sendLater) => mbapDialogue(serve, tally, sendLater);
  const quietUs = quietMs * US_PER_MS;
  // When a chunk comes out of a socket says nothing; the connection tells the quiet, when it has seen it.
  const times: RtuTimes = { gapUs: quietUs, silenceUs: quietUs, silenceMs: RTU_SILENCE_MS, nowUs: () => 0 };
  return (sendLater) => rtuDialogue(serve, tally, sendLater, times);
}

function zeroCounts(): Counts {
  return {
    ...zeroTally(),
    accepted: 0,
    refused: 0,
    evicted: 0,
    notAccepted: 0,
    halfFrames: 0,
    unread: 0,
  };
}

/** Compares addresses, not spellings: an IPv4 peer of a dual-stack socket shows up as ::ffff:a.b.c.d. */
function admission(allow: readonly string[] | undefined): (peer: string | undefined) => boolean {
  if (allow === undefined) return () => true;
  const list = new BlockList();
  for (const address of allow) list.addAddress(address, family(address));
  return (peer) => peer !== undefined && list.check(peer, family(peer));
}

function family(address: string): 'ipv4' | 'ipv6' {
  return isIPv6(address) ? 'ipv6' : 'ipv4';
}

/**
 * MB-TCP closes the oldest unused one, so that clients which forgot to hang up shut nobody out. Those that
 * never sent a whole frame go first: however many connect at once, a poller between two polls stays.
 */
function cutOldestUnused(open: Map<Socket, Connection>): void {
  const [oldest] = [...open].toSorted(
    ([, one], [, other]) =>
      Number(one.isProven()) - Number(other.isProven()) || one.lastUsed() - other.lastUsed(),
  );
  if (oldest === undefined) return;
  const [socket, connection] = oldest;
  // Its 'close' comes later; until then it must not be counted, nor be found again.
  open.delete(socket);
  connection.cut();
}

/** Settles with what the system bound, which says the port where 0 was asked for. */
async function listen(
  server: Server,
  host: string,
  port: number,
): Promise<Pick<SocketAddress, 'host' | 'port'>> {
  server.listen(port, host);
  try {
    await once(server, 'listening');
  } catch (error) {
    throw isInUse(error) ? new PortInUse(host, port) : error;
  }
  const bound = server.address() as AddressInfo;
  return { host: bound.address, port: bound.port };
}

function isInUse(error: unknown): boolean {
  return error instanceof Error && 'code' in error && error.code === 'EADDRINUSE';
}

/** A server's own close waits for its clients to leave; a bench that stops does not. */
async function closed(server: Server, open: Map<Socket, Connection>): Promise<void> {
  const gone = once(server, 'close');
  server.close();
  for (const connection of open.values()) connection.cut();
  await gone;
}
