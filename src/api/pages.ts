/** What anybody may fetch: health, the page's files, the API's description, and what problems mean. */
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import fastifyStatic from '@fastify/static';
import fastifySwaggerUi from '@fastify/swagger-ui';
import type { FastifyInstance } from 'fastify';
import type { BenchPort } from './bench-port.ts';
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

export function healthRoutes(app: FastifyInstance, port: BenchPort): void {
  app.get('/healthz', { schema: { hide: true } }, () => ({ alive: true }));
  app.get('/readyz', { schema: { hide: true } }, () => {
    const why = port.notReady();
    if (why !== null) throw new Problem('not-ready', why);
    return { ready: true };
  });
}

export function documentRoutes(app: FastifyInstance): void {
  app.get('/openapi.json', { schema: { hide: true } }, () => app.swagger());
  app.register(fastifySwaggerUi, {
    routePrefix: '/docs',
    staticCSP: DOCS_CSP,
    theme: { title: 'leakbench API' },
  });
  app.get('/problems/:id', { schema: { hide: true } }, (request) => {
    const { id } = request.params as { readonly id: string };
    const row = Object.entries(PROBLEMS).find(([name]) => name === id)?.[1];
    if (row === undefined) throw new Problem('not-found', 'No problem has this name.');
    return row;
  });
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
