/** What anybody may fetch: health, the page's files, the API's description, and what problems mean. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import fastifySwaggerUi from '@fastify/swagger-ui';
import type { FastifyInstance, FastifyPluginCallback } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { asyncApi } from './async-api.ts';
import type { BenchPort } from './bench-port.ts';
import { speakZod } from './context.ts';
import { PROBLEMS, Problem } from './problems.ts';

/** Swagger UI sets styles in the document and draws with data: images; everything still comes from here. */
const DOCS_CSP = {
  'default-src': ["'self'"],
  'style-src': ["'self'", "'unsafe-inline'"],
  'img-src': ["'self'", 'data:'],
  'object-src': ["'none'"],
  'base-uri': ["'self'"],
  'frame-ancestors': ["'none'"],
};

const tags = ['service'];

export function healthRoutes(port: BenchPort): FastifyPluginCallback {
  return (app, _options, registered) => {
    speakZod(app);
    const typed = app.withTypeProvider<ZodTypeProvider>();
    const alive = z.object({ alive: z.literal(true) });
    typed.get(
      '/healthz',
      { schema: { operationId: 'isAlive', summary: 'Whether it runs', tags, response: { 200: alive } } },
      () => ({ alive: true as const }),
    );
    const ready = z.object({ ready: z.literal(true) });
    typed.get(
      '/readyz',
      {
        config: { problems: ['not-ready'] },
        schema: { operationId: 'isReady', summary: 'Whether it serves', tags, response: { 200: ready } },
      },
      () => {
        const why = port.notReady();
        if (why !== null) throw new Problem('not-ready', why);
        return { ready: true as const };
      },
    );
    registered();
  };
}

export function documentRoutes(version: string): FastifyPluginCallback {
  return (app, _options, registered) => {
    app.register(fastifySwaggerUi, {
      routePrefix: '/docs',
      staticCSP: DOCS_CSP,
      theme: { title: 'leakbench API' },
    });
    app.register((described, _none, ready) => {
      speakZod(described);
      descriptionRoutes(described, version);
      ready();
    });
    registered();
  };
}

function descriptionRoutes(app: FastifyInstance, version: string): void {
  const typed = app.withTypeProvider<ZodTypeProvider>();
  const openApi = z.looseObject({ openapi: z.string() }).describe('OpenAPI 3.1');
  typed.get(
    '/openapi.json',
    { schema: { operationId: 'getOpenApi', summary: 'This description', tags, response: { 200: openApi } } },
    () => app.swagger() as z.infer<typeof openApi>,
  );
  const stream = z.looseObject({ asyncapi: z.string() }).describe('AsyncAPI 3');
  typed.get(
    '/asyncapi.json',
    {
      schema: {
        operationId: 'getAsyncApi',
        summary: 'The event stream and every event there is',
        tags,
        response: { 200: stream },
      },
    },
    () => asyncApi(version),
  );
  const meaning = z.object({ status: z.number().int(), title: z.string(), meaning: z.string() });
  typed.get(
    '/problems/:id',
    {
      config: { problems: ['not-found'] },
      schema: {
        operationId: 'getProblem',
        summary: 'What a problem means',
        tags,
        params: z.object({ id: z.string().describe('The end of the problem’s type') }),
        response: { 200: meaning },
      },
    },
    ({ params }) => {
      const row = Object.entries(PROBLEMS).find(([name]) => name === params.id)?.[1];
      if (row === undefined) throw new Problem('not-found', 'No problem has this name.');
      return row;
    },
  );
}

/** The page holds no secret: what it shows it fetches from the API, with the token from its own address. */
export function pageRoutes(app: FastifyInstance, pageFolder: string): void {
  if (existsSync(join(pageFolder, 'index.html'))) {
    app.register(fastifyStatic, { root: pageFolder, schemaHide: true });
    return;
  }
  app.get('/', { schema: { hide: true } }, () => {
    throw new Problem(
      'page-not-built',
      'Run npm run build, then start the bench again. The API runs: see /docs.',
    );
  });
}
