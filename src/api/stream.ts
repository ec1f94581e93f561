/**
 * The event stream: every client gets each event after its starting point once, in order, one a message.
 *
 * A client first reads the record in pages, each sent once the one before has left for the network. When a
 * page comes out empty the client is level with the record, and from that very moment it is told what is
 * stored, so nothing falls between: storing and reading are synchronous, on one thread. The queue of a
 * client is the socket's own: its bytes have a limit, and a client that lets it fill is closed. It may come
 * back and go on from the last event it got.
 *
 * News go out as bytes that all clients share, and after each round the process has time for others: a round
 * waits four times as long as the one before took, and takes along whatever was stored meanwhile. So a burst
 * with a thousand clients costs a fifth of the process at most, and the supervisor goes on.
 */
import type { Socket } from 'node:net';
import { performance } from 'node:perf_hooks';
import type { WebSocket } from 'ws';
import type { CloudEvent } from '../events/index.ts';
import type { EventRecord } from '../record/index.ts';
import { type Frames, framesOf } from './frames.ts';
import { pagesOf } from './pages-of-record.ts';

/** RFC 6455 section 7.4.2: 4000 to 4999 are for private use; a reason has at most 123 bytes. */
export const STREAM_CLOSE = {
  stopping: { code: 1001, reason: 'the bench is stopping' },
  tooSlow: { code: 4001, reason: 'you read too slowly; come back with ?after=LAST_SEQUENCE' },
  aheadOfRecord: { code: 4002, reason: 'the record does not reach as far as ?after; it may be a new one' },
  recordFailed: { code: 4003, reason: 'the record cannot be read; the bench’s log says why' },
  goneFromRecord: { code: 4004, reason: 'what follows ?after is out of the record; begin without ?after' },
} as const;

export interface StreamLimits {
  /** Unsent bytes of one client: some thousand events, seconds of the busiest bench, and shared by all. */
  readonly queueBytesMax: number;
  /** A client that answers no ping for so long is gone, or as good as gone. */
  readonly heartbeatMs: number;
  readonly clientsMax: number;
  /** How long clients have to say goodbye when the bench stops. */
  readonly stopGraceMs: number;
}

export const STREAM_LIMITS: StreamLimits = {
  queueBytesMax: 2 * 1024 * 1024,
  heartbeatMs: 30_000,
  // A client costs some 30 KB; what waits for it is shared with all who wait for the same.
  clientsMax: 1000,
  // All of the bench stops within a second.
  stopGraceMs: 400,
};

/** How many times as long as a round the rest after it is. */
const REST_TO_ROUND = 4;

/** What is needed of a `ws` socket. */
export type StreamSocket = Pick<
  WebSocket,
  'on' | 'once' | 'ping' | 'close' | 'terminate' | 'readyState' | 'OPEN'
>;
/** The connection under it: whole frames may be written between those that `ws` writes. */
export type StreamWire = Pick<Socket, 'write' | 'writableLength'>;

interface Client {
  readonly socket: StreamSocket;
  readonly wire: StreamWire;
  /** Sequence of the last event handed to the socket. */
  sent: number;
  /** Level with the record, and told what is stored from here on. */
  live: boolean;
  answered: boolean;
  /** Told to go; it stays listed until it is gone, because it holds memory until then. */
  ended: boolean;
}

type Close = (typeof STREAM_CLOSE)[keyof typeof STREAM_CLOSE];

export class EventStreams {
  readonly #record: EventRecord;
  readonly #pageAfter: (sequence: number) => Frames | null;
  readonly #limits: StreamLimits;
  readonly #readFailed: (error: unknown) => void;
  readonly #clients = new Set<Client>();
  readonly #unsubscribe: () => void;
  readonly #heartbeat: NodeJS.Timeout;
  #slow = 0;
  /** Stored, and not yet told to the clients that are level. */
  #news: CloudEvent[] = [];
  #round: NodeJS.Timeout | undefined;
  #restUntil = 0;

  constructor(record: EventRecord, limits: StreamLimits, readFailed: (error: unknown) => void) {
    this.#record = record;
    this.#pageAfter = pagesOf(record);
    this.#limits = limits;
    this.#readFailed = readFailed;
    this.#unsubscribe = record.subscribe((events) => {
      this.#stored(events);
    });
    this.#heartbeat = setInterval(() => {
      this.#beat();
    }, limits.heartbeatMs);
    this.#heartbeat.unref();
  }

  get clients(): number {
    return this.#clients.size;
  }

  get full(): boolean {
    return this.#clients.size >= this.#limits.clientsMax;
  }

  /** Clients closed for reading too slowly, so far. */
  get slowClients(): number {
    return this.#slow;
  }

  get queuedBytes(): number {
    let bytes = 0;
    for (const { wire } of this.#clients) bytes += wire.writableLength;
    return bytes;
  }

  /** Serves a client that has read up to a sequence. */
  serve(socket: StreamSocket, wire: StreamWire, after: number): void {
    const client: Client = { socket, wire, sent: after, live: false, answered: true, ended: false };
    socket.on('pong', () => {
      client.answered = true;
    });
    socket.on('close', () => {
      client.live = false;
      client.ended = true;
      this.#clients.delete(client);
    });
    this.#clients.add(client);
    if (after > this.#record.lastSequence()) this.#end(client, STREAM_CLOSE.aheadOfRecord);
    else this.#replay(client);
  }

  /** Says goodbye to all, and waits until they are gone. */
  async stop(): Promise<void> {
    clearInterval(this.#heartbeat);
    this.#unsubscribe();
    this.#tell();
    const sockets = [...this.#clients].map(({ socket }) => socket);
    const gone = sockets.map((socket) => new Promise((resolve) => socket.once('close', resolve)));
    for (const client of this.#clients) this.#end(client, STREAM_CLOSE.stopping);
    const drop = setTimeout(() => {
      for (const socket of sockets) socket.terminate();
    }, this.#limits.stopGraceMs);
    await Promise.all(gone);
    clearTimeout(drop);
  }

  /** One page; the next follows when the last event of this one has left for the network. */
  #replay(client: Client): void {
    if (client.ended) return;
    // Who has read nothing begins with what there is; anybody else would miss some without knowing.
    if (client.sent > 0 && client.sent + 1 < this.#record.firstSequence()) {
      this.#end(client, STREAM_CLOSE.goneFromRecord);
      return;
    }
    let page: Frames | null;
    try {
      page = this.#pageAfter(client.sent);
    } catch (error) {
      this.#readFailed(error);
      this.#end(client, STREAM_CLOSE.recordFailed);
      return;
    }
    client.live = page === null;
    // An error means that the socket is closing, and reading on would be for nobody.
    if (page !== null) {
      hand(client, page, (error) => {
        if (!error) this.#replay(client);
      });
    }
  }

  #stored(events: readonly CloudEvent[]): void {
    this.#news.push(...events);
    if (this.#round !== undefined) return;
    const restMs = this.#restUntil - performance.now();
    if (restMs <= 0) this.#tell();
    else {
      this.#round = setTimeout(() => {
        this.#tell();
      }, restMs);
    }
  }

  #tell(): void {
    clearTimeout(this.#round);
    this.#round = undefined;
    if (this.#news.length === 0) return;
    const beganMs = performance.now();
    const news = framesOf(this.#news);
    this.#news = [];
    for (const client of this.#clients) {
      if (!client.live) continue;
      hand(client, news);
      if (client.wire.writableLength > this.#limits.queueBytesMax) this.#end(client, STREAM_CLOSE.tooSlow);
    }
    const endedMs = performance.now();
    this.#restUntil = endedMs + REST_TO_ROUND * (endedMs - beganMs);
  }

  #beat(): void {
    for (const client of this.#clients) {
      if (client.ended) continue;
      if (client.answered) client.socket.ping();
      else this.#end(client, STREAM_CLOSE.tooSlow);
      client.answered = false;
    }
  }

  #end(client: Client, { code, reason }: Close): void {
    client.live = false;
    client.ended = true;
    if (code === STREAM_CLOSE.tooSlow.code) this.#slow += 1;
    // ws gives the peer 30 s to answer, then drops the connection with all that was queued.
    client.socket.close(code, reason);
  }
}

/** Stored events may be read before they are told: whatever was handed over already is left out. */
function hand(client: Client, frames: Frames, sent?: (error?: Error | null) => void): void {
  const bytes = frames.after(client.sent);
  // After a goodbye no frame may follow (RFC 6455 section 5.5.1).
  if (bytes === null || client.socket.readyState !== client.socket.OPEN) return;
  client.sent = frames.last;
  client.wire.write(bytes, sent);
}
