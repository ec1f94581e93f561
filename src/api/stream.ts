/**
 * The event stream: every client gets each event after its starting point once, in order, one a message.
 *
 * A client first reads the record in pages, each sent once the one before has left for the network. When a
 * page comes out empty the client is level with the record, and from that very moment it is told what is
 * stored, so nothing falls between: storing and reading are synchronous, on one thread. The queue of a
 * client is the socket's own: its bytes have a limit, and a client that lets it fill is closed. It may come
 * back and go on from the last event it got.
 */
import type { WebSocket } from 'ws';
import type { CloudEvent } from '../events/index.ts';
import type { EventRecord } from '../record/index.ts';

/** RFC 6455 section 7.4.2: 4000 to 4999 are for private use; a reason has at most 123 bytes. */
export const STREAM_CLOSE = {
  stopping: { code: 1001, reason: 'the bench is stopping' },
  tooSlow: { code: 4001, reason: 'you read too slowly; come back with ?after=LAST_SEQUENCE' },
  aheadOfRecord: { code: 4002, reason: 'the record does not reach as far as ?after; it may be a new one' },
  recordFailed: { code: 4003, reason: 'the record cannot be read; the bench’s log says why' },
  goneFromRecord: { code: 4004, reason: 'what follows ?after is out of the record; begin without ?after' },
} as const;

export interface StreamLimits {
  /** Unsent bytes of one client: some thousand events, seconds of the busiest bench. */
  readonly queueBytesMax: number;
  /** A client that answers no ping for so long is gone, or as good as gone. */
  readonly heartbeatMs: number;
  readonly clientsMax: number;
  /** How long clients have to say goodbye when the bench stops. */
  readonly stopGraceMs: number;
}

export const STREAM_LIMITS: StreamLimits = {
  queueBytesMax: 1024 * 1024,
  heartbeatMs: 30_000,
  clientsMax: 100,
  stopGraceMs: 1000,
};

/** About 100 KB a page. */
const REPLAY_PAGE_EVENTS = 250;

/** What is needed of a `ws` socket. */
export type StreamSocket = Pick<
  WebSocket,
  'on' | 'once' | 'send' | 'ping' | 'close' | 'terminate' | 'bufferedAmount'
>;

interface Client {
  readonly socket: StreamSocket;
  /** Sequence of the last event handed to the socket. */
  sent: number;
  /** Level with the record, and told what is stored from here on. */
  live: boolean;
  answered: boolean;
  /** Told to go; it stays listed until it is gone, because it holds memory until then. */
  ended: boolean;
}

interface Told {
  readonly event: CloudEvent;
  readonly text: string;
}

type Close = (typeof STREAM_CLOSE)[keyof typeof STREAM_CLOSE];

export class EventStreams {
  readonly #record: EventRecord;
  readonly #limits: StreamLimits;
  readonly #readFailed: (error: unknown) => void;
  readonly #clients = new Set<Client>();
  readonly #unsubscribe: () => void;
  readonly #heartbeat: NodeJS.Timeout;
  #slow = 0;

  constructor(record: EventRecord, limits: StreamLimits, readFailed: (error: unknown) => void) {
    this.#record = record;
    this.#limits = limits;
    this.#readFailed = readFailed;
    this.#unsubscribe = record.subscribe((events) => {
      this.#tell(events.map(told));
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

  /** Serves a client that has read up to a sequence. */
  serve(socket: StreamSocket, after: number): void {
    const client: Client = { socket, sent: after, live: false, answered: true, ended: false };
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
    let page: readonly Told[];
    try {
      page = this.#record.readAfter(client.sent, REPLAY_PAGE_EVENTS).map(told);
    } catch (error) {
      this.#readFailed(error);
      this.#end(client, STREAM_CLOSE.recordFailed);
      return;
    }
    client.live = page.length === 0;
    // An error means that the socket is closing, and reading on would be for nobody.
    const next = (error?: Error): void => {
      if (!error) this.#replay(client);
    };
    for (const one of page) hand(client, one, one === page.at(-1) ? next : undefined);
  }

  #tell(news: readonly Told[]): void {
    for (const client of this.#clients) {
      if (!client.live) continue;
      for (const one of news) hand(client, one);
      if (client.socket.bufferedAmount > this.#limits.queueBytesMax) this.#end(client, STREAM_CLOSE.tooSlow);
    }
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

function told(event: CloudEvent): Told {
  return { event, text: JSON.stringify(event) };
}

/** Stored events may be read before they are told: whatever was handed over already is left out. */
function hand(client: Client, { event, text }: Told, sent?: (error?: Error) => void): void {
  if (event.sequence <= client.sent) return;
  client.sent = event.sequence;
  client.socket.send(text, sent);
}
