/**
 * The HTTP side of whatever runs behind a BenchPort: guards, API, stream, page, and one form for trouble.
 *
 * Order of the hooks: what is a WebSocket, security headers, who may ask at all, how often, who may do this.
 */
import fastifyHelmet from '@fastify/helmet';
import fastifyRateLimit from '@fastify/rate-limit';
import fastifyWebsocket from '@fastify/websocket';
import fastify, {
  type FastifyBaseLogger,
  type FastifyInstance,
  type FastifyRequest,
  LogController,
} from 'fastify';
import type { Logger } from 'pino';
import type { EventRecord } from '../record/index.ts';
import { isLoopbackPeer } from './addresses.ts';
import type { BenchPort } from './bench-port.ts';
import type { ClassPort } from './class-port.ts';
import { classRoutes } from './class-routes.ts';
import { describeApi } from './describe.ts';
import { refuseForeign } from './guards.ts';
import { benchMetrics } from './metrics.ts';
import { documentRoutes, healthRoutes, pageRoutes } from './pages.ts';
import { Problem } from './problems.ts';
import { requestIds, tellRequestIds } from './request-id.ts';
import { guardedRoutes } from './routes.ts';
import { type SeatLimits, seatRoutes } from './seat-routes.ts';
import { EventStreams, STREAM_LIMITS, type StreamLimits } from './stream.ts';
import type { Tokens } from './tokens.ts';
import { answerGarbled, answerTrouble, answerUnreadable, BODY_BYTES_MAX } from './trouble.ts';

export interface ApiOptions {
  readonly port: BenchPort;
  /** null where this process can have no class. */
  readonly classroom: ClassPort | null;
  readonly record: EventRecord;
  /** None: everyone is an instructor, and only loopback names are answered to. */
  readonly tokens: Tokens;
  readonly logger: Logger;
  /** Folder of the built page; it may be missing. */
  readonly pageFolder: string;
  readonly version: string;
  /** Smaller limits make tests short. */
  readonly limits?: Partial<ApiLimits>;
}

export type ApiLimits = StreamLimits & SeatLimits;

const API_LIMITS: ApiLimits = {
  ...STREAM_LIMITS,
  // A page asks a few times a second; on this machine scripts and tests ask as fast as they can.
  requestsPerMinute: 1200,
  loopbackRequestsPerMinute: 120_000,
  // A phone asks once a second.
  seatRequestsPerMinute: 300,
  // Of some 10^8 codes; on this machine a proxy may stand for a whole class, with its slips of the thumb.
  wrongCodesPerMinute: 10,
  loopbackWrongCodesPerMinute: 60,
  allWrongCodesPerMinute: 120,
};
/** A request comes within this time or not at all (RFC 9110 section 15.5.9 has 408 for it). */
const REQUEST_MS_MAX = 10_000;
/** A client of the stream has nothing to say but pongs and its goodbye. */
const INCOMING_MESSAGE_BYTES_MAX = 1024;

const SELF = ["'self'"];
const NONE = ["'none'"];

/** Ready to be given to listenApi. The record stays the caller's to close, after the app. */
export function buildApi(options: ApiOptions): FastifyInstance {
  const { port, record, tokens, logger } = options;
  const limits = { ...API_LIMITS, ...options.limits };
  const app = fastify({
    loggerInstance: quietOnSecrets(logger),
    // One line a request, written by logRequests.
    logController: new LogController({ disableRequestLogging: true }),
    genReqId: requestIds(),
    bodyLimit: BODY_BYTES_MAX,
    requestTimeout: REQUEST_MS_MAX,
    forceCloseConnections: true,
    clientErrorHandler: answerGarbled,
    frameworkErrors: answerUnreadable,
  });
  const streams = new EventStreams(record, limits, (error) => {
    app.log.error({ err: error }, 'the stream could not read the record');
  });
  // A page elsewhere may send text/plain without asking first (Fetch, CORS-safelisted request-header).
  app.removeContentTypeParser('text/plain');
  app.setErrorHandler(answerTrouble);
  app.setNotFoundHandler(() => {
    throw new Problem('not-found', 'There is nothing here; /docs lists what there is.');
  });
  // First of all plugins: the guards must know a WebSocket when they see one, and close its socket.
  app.register(fastifyWebsocket, {
    options: { maxPayload: INCOMING_MESSAGE_BYTES_MAX },
    errorHandler: (error, socket, request) => {
      request.log.info({ err: error }, 'a stream broke');
      socket.terminate();
    },
    preClose: async () => {
      await streams.stop();
      app.websocketServer.close();
    },
  });
  tellRequestIds(app);
  protect(app, tokens, limits);
  describeApi(app, options.version);
  app.after(() => {
    const registry = benchMetrics(app, { port, record, streams, version: options.version });
    logRequests(app);
    app.register(healthRoutes(port));
    app.register(documentRoutes(options.version));
    pageRoutes(app, options.pageFolder);
    app.register(guardedRoutes({ port, record, streams, tokens, registry }));
    app.register(classRoutes({ classroom: options.classroom, record, tokens }));
    app.register(seatRoutes(options.classroom, limits));
  });
  return app;
}

function protect(app: FastifyInstance, tokens: Tokens, limits: ApiLimits): void {
  app.register(fastifyHelmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: SELF,
        objectSrc: NONE,
        baseUri: SELF,
        formAction: SELF,
        frameAncestors: NONE,
      },
    },
    // The bench speaks plain HTTP; whoever puts TLS before it sets this there.
    strictTransportSecurity: false,
  });
  const refuse = refuseForeign(tokens);
  app.after(() => {
    app.addHook('onRequest', (request, _reply, next) => {
      refuse(request);
      next();
    });
  });
  app.register(fastifyRateLimit, {
    timeWindow: '1 minute',
    max: (request) =>
      isLoopbackPeer(request.ip) ? limits.loopbackRequestsPerMinute : limits.requestsPerMinute,
  });
}

/** Neither headers nor the query reach the log: both may hold a token. */
function quietOnSecrets(logger: Logger): FastifyBaseLogger {
  return logger.child({}, { serializers: { req: shownRequest } });
}

function shownRequest(request: FastifyRequest): Readonly<Record<string, unknown>> {
  return { method: request.method, path: pathOf(request), from: request.ip };
}

function pathOf({ url }: FastifyRequest): string {
  return url.split('?', 1)[0] ?? '';
}

function logRequests(app: FastifyInstance): void {
  app.addHook('onResponse', (request, reply, done) => {
    const line = { ...shownRequest(request), status: reply.statusCode, ms: Math.round(reply.elapsedTime) };
    request.log.debug(line, 'request answered');
    done();
  });
}
