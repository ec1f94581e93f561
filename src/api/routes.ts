/**
 * The API itself, under a guard: what the rig is, what is now, what was, what to do next, and the stream.
 */
import type { FastifyInstance, FastifyPluginCallback } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import type { Registry } from 'prom-client';
import { z } from 'zod';
import { SPEED_MAX, SPEED_MIN } from '../clock/index.ts';
import { eventSchema } from '../events/event-schema.ts';
import type { EventRecord } from '../record/index.ts';
import { doneSchema, NO_WIRE, outcomeOf, problems } from './answers.ts';
import type { BenchPort } from './bench-port.ts';
import { guardRoutes, speakZod } from './context.ts';
import { drillRoutes } from './drill-routes.ts';
import { pollReportSchema } from './poll-report-schema.ts';
import { Problem } from './problems.ts';
import { rigViewSchema } from './rig-view-schema.ts';
import { snapshotSchema } from './snapshot-schema.ts';
import type { EventStreams } from './stream.ts';
import type { Tokens } from './tokens.ts';

export interface RouteSources {
  readonly port: BenchPort;
  readonly record: EventRecord;
  readonly streams: EventStreams;
  readonly tokens: Tokens;
  readonly registry: Registry;
}

/** A page of events is built in memory, some 400 bytes each. */
const EVENTS_LIMIT_MAX = 1000;
const EVENTS_LIMIT_DEFAULT = 100;

const sequence = z.coerce
  .number()
  .int()
  .nonnegative()
  .meta({ description: 'Sequence of the last event that is known already; 0 for none.' });

const clockChange = z
  .strictObject({
    speed: z.number().min(SPEED_MIN).max(SPEED_MAX).optional(),
    paused: z.boolean().optional(),
    toNextEvent: z.literal(true).optional().meta({
      description: 'On as fast as the clock may until the next event, then it stands still.',
    }),
  })
  .refine(({ speed, paused, toNextEvent }) => toNextEvent === undefined || (speed ?? paused) === undefined, {
    error: 'toNextEvent goes alone',
  });

export function guardedRoutes(sources: RouteSources): FastifyPluginCallback {
  return (app, _options, registered) => {
    speakZod(app);
    guardRoutes(app, sources.tokens, 'all roles');
    readRoutes(app, sources);
    changeRoutes(app, sources);
    drillRoutes(app, sources);
    streamRoute(app, sources);
    app.get('/metrics', { schema: { hide: true } }, async (_request, reply) => {
      reply.type(sources.registry.contentType);
      return await sources.registry.metrics();
    });
    registered();
  };
}

function readRoutes(app: FastifyInstance, { port, record }: RouteSources): void {
  const typed = app.withTypeProvider<ZodTypeProvider>();
  typed.get(
    '/api/v1/rig',
    {
      schema: {
        operationId: 'getRig',
        summary: 'The rig, every limit with its source',
        tags: ['bench'],
        response: { 200: rigViewSchema, ...problems },
      },
    },
    () => port.rigView(),
  );
  typed.get(
    '/api/v1/now',
    {
      schema: {
        operationId: 'getNow',
        summary: 'The bench as it is now',
        tags: ['bench'],
        response: { 200: snapshotSchema, ...problems },
      },
    },
    () => port.snapshot(),
  );
  typed.get(
    '/api/v1/poll-report',
    {
      schema: {
        operationId: 'getPollReport',
        summary: 'What the controller asks, as seen from the wire, with advice',
        description:
          'Counted since the last fresh start. 404 where the sensors run elsewhere: ask the process that runs them.',
        tags: ['bench'],
        response: { 200: pollReportSchema, ...problems },
      },
    },
    () => {
      const report = port.pollReport();
      if (report === null) throw new Problem('not-found', NO_WIRE);
      return report;
    },
  );
  typed.get(
    '/api/v1/events',
    {
      schema: {
        operationId: 'getEvents',
        summary: 'Stored events after a sequence, oldest first',
        description:
          'A record has a limit: where the next events are out of it, this begins with the oldest there is.',
        tags: ['events'],
        querystring: z.object({
          after: sequence.default(0),
          limit: z.coerce.number().int().min(1).max(EVENTS_LIMIT_MAX).default(EVENTS_LIMIT_DEFAULT),
        }),
        response: { 200: z.object({ events: z.array(eventSchema) }), ...problems },
      },
    },
    ({ query }) => ({ events: [...record.readAfter(query.after, query.limit)] }),
  );
}

function changeRoutes(app: FastifyInstance, { port, record }: RouteSources): void {
  const typed = app.withTypeProvider<ZodTypeProvider>();
  typed.post(
    '/api/v1/steps',
    {
      schema: {
        operationId: 'doStep',
        summary: 'Do a drill step now (a step without its time)',
        tags: ['bench'],
        body: z.record(z.string(), z.unknown()).meta({
          examples: [
            { call: { cooling: 'on' } },
            { testGas: { at: 'coil-a', level: '40 %LFL', lasts: '30 s' } },
          ],
        }),
        response: { 200: doneSchema, ...problems },
      },
    },
    ({ body }) => outcomeOf(record, () => port.applyStep(body)),
  );
  typed.post(
    '/api/v1/clock',
    {
      schema: {
        operationId: 'setClock',
        summary: 'Change the speed of bench time, or let it stand still',
        tags: ['bench'],
        body: clockChange,
        response: { 200: doneSchema, ...problems },
      },
    },
    ({ body }) => outcomeOf(record, () => port.setClock(body)),
  );
}

function streamRoute(app: FastifyInstance, { streams }: RouteSources): void {
  const querystring = z.object({ after: sequence.default(0) });
  app.withTypeProvider<ZodTypeProvider>().route({
    method: 'GET',
    url: '/api/v1/stream',
    schema: {
      operationId: 'openStream',
      summary: 'WebSocket: every event after a sequence, stored and to come, one a message',
      description:
        'Each message is one event as JSON. Without ?after it begins with the first event of the record; where ' +
        'what follows ?after is out of the record, it is closed with 4004. ' +
        'A browser, which cannot send the Authorization header here, may bring its token as ?token=.',
      tags: ['events'],
      querystring,
      response: problems,
    },
    preHandler: (request, _reply, next) => {
      if (request.ws && streams.full) {
        throw new Problem('too-many-streams', 'Close one of the open event streams first.');
      }
      next();
    },
    handler: () => {
      throw new Problem('upgrade-needed', 'Open this address as a WebSocket.', {
        headers: { upgrade: 'websocket', connection: 'Upgrade' },
      });
    },
    wsHandler: (socket, request) => {
      streams.serve(socket, request.socket, querystring.parse(request.query).after);
    },
  });
}
