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
import { CHANGE_PROBLEMS, doneSchema, NO_WIRE, outcomeOf } from './answers.ts';
import type { BenchPort } from './bench-port.ts';
import { guardRoutes, speakZod } from './context.ts';
import { drillRoutes } from './drill-routes.ts';
import { pollReportSchema } from './poll-report-schema.ts';
import { Problem } from './problems.ts';
import { rigViewSchema } from './rig-view-schema.ts';
import { snapshotSchema } from './snapshot-schema.ts';
import type { EventStreams } from './stream.ts';
import { afterSequence, STREAM_PATH, streamQuery } from './stream-address.ts';
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
  })
  .meta({ examples: [{ speed: 10 }, { paused: true }, { toNextEvent: true }] });

export function guardedRoutes(sources: RouteSources): FastifyPluginCallback {
  return (app, _options, registered) => {
    speakZod(app);
    guardRoutes(app, sources.tokens, 'all roles');
    readRoutes(app, sources);
    changeRoutes(app, sources);
    drillRoutes(app, sources);
    streamRoute(app, sources);
    metricsRoute(app, sources);
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
        response: { 200: rigViewSchema },
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
        response: { 200: snapshotSchema },
      },
    },
    () => port.snapshot(),
  );
  typed.get(
    '/api/v1/poll-report',
    {
      config: { problems: ['not-found'] },
      schema: {
        operationId: 'getPollReport',
        summary: 'What the controller asks, as seen from the wire, with advice',
        description:
          'Counted since the last fresh start, or since it was counted anew. 404 where the sensors run elsewhere: ask the process that runs them.',
        tags: ['bench'],
        response: { 200: pollReportSchema },
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
      config: { problems: ['record-failed'] },
      schema: {
        operationId: 'getEvents',
        summary: 'Stored events after a sequence, oldest first',
        description:
          'A record has a limit: where the next events are out of it, this begins with the oldest there is.',
        tags: ['events'],
        querystring: z.object({
          after: afterSequence.default(0),
          limit: z.coerce.number().int().min(1).max(EVENTS_LIMIT_MAX).default(EVENTS_LIMIT_DEFAULT),
        }),
        response: { 200: z.object({ events: z.array(eventSchema) }) },
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
      config: { problems: CHANGE_PROBLEMS },
      schema: {
        operationId: 'doStep',
        summary: 'Do a drill step now (a step without its time)',
        tags: ['bench'],
        // Held against the rig, and spelled out, by whoever does it.
        body: z.record(z.string(), z.unknown()).meta({
          ...port.stepSchema,
          examples: [
            { call: { cooling: 'on' } },
            { testGas: { at: 'coil-a', level: '40 %LFL', lasts: '30 s' } },
          ],
        }),
        response: { 200: doneSchema },
      },
    },
    ({ body }) => outcomeOf(record, () => port.applyStep(body)),
  );
  typed.post(
    '/api/v1/poll-report/anew',
    {
      config: { problems: CHANGE_PROBLEMS },
      schema: {
        operationId: 'countPollsAnew',
        summary: 'Count anew what the controller asks, such as after a mistake is mended',
        description: 'For whoever looks at the poll report; bench, drills and record go on as they are.',
        tags: ['bench'],
        body: z.strictObject({}),
        response: { 200: doneSchema },
      },
    },
    () => outcomeOf(record, () => port.countPollsAnew()),
  );
  typed.post(
    '/api/v1/clock',
    {
      config: { problems: CHANGE_PROBLEMS },
      schema: {
        operationId: 'setClock',
        summary: 'Change the speed of bench time, or let it stand still',
        description: 'Refused where the sensors run elsewhere: the time of their bus goes on.',
        tags: ['bench'],
        body: clockChange,
        response: { 200: doneSchema },
      },
    },
    ({ body }) => outcomeOf(record, () => port.setClock(body)),
  );
}

function metricsRoute(app: FastifyInstance, { registry }: RouteSources): void {
  const text = { description: 'Figures, a line each', content: { 'text/plain': { schema: z.string() } } };
  app.get(
    '/metrics',
    {
      schema: {
        operationId: 'getMetrics',
        summary: 'Figures for a monitoring system (Prometheus)',
        tags: ['service'],
        response: { 200: text },
      },
    },
    async (_request, reply) => {
      reply.type(registry.contentType);
      return await registry.metrics();
    },
  );
}

function streamRoute(app: FastifyInstance, { streams }: RouteSources): void {
  app.withTypeProvider<ZodTypeProvider>().route({
    method: 'GET',
    url: STREAM_PATH,
    config: { problems: ['upgrade-needed', 'too-many-streams'] },
    schema: {
      operationId: 'openStream',
      summary: 'WebSocket: every event after a sequence, stored and to come, one a message',
      description:
        'Each message is one event as JSON. Without ?after it begins with the first event of the record; where ' +
        'what follows ?after is out of the record, it is closed with 4004. ' +
        'A browser, which cannot send the Authorization header here, may bring its token as ?token=.',
      tags: ['events'],
      querystring: streamQuery,
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
      streams.serve(socket, request.socket, streamQuery.parse(request.query).after);
    },
  });
}
