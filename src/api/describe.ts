/**
 * The API as OpenAPI 3.1, made from what the routes validate with.
 *
 * A route says in its `config` who may use it and which problems are its own. What every route answers
 * besides follows from its method and its guard, so that no route has to say it.
 */
import fastifySwagger from '@fastify/swagger';
import type { FastifyInstance, RouteOptions } from 'fastify';
import { createJsonSchemaTransform, createJsonSchemaTransformObject } from 'fastify-type-provider-zod';
import { type JsonSchema, withoutObviousBounds } from '../files/json-schema.ts';
import { isSafe } from './guards.ts';
import { PROBLEM_MEDIA_TYPE, PROBLEMS, type ProblemId, problemDetails } from './problems.ts';

/** A seat is somebody in a class, with the key of that seat; a token gives one of the two roles. */
export type Who = 'anybody' | 'viewer' | 'instructor' | 'seat';

declare module 'fastify' {
  interface FastifyContextConfig {
    who?: Who;
    /** Beside those that follow from its method and its guard. */
    problems?: readonly ProblemId[];
  }
}

export const CAUTION = 'Simulation and training only: not a safety device, no proof of compliance.';
const LICENCE = { name: 'MIT', identifier: 'MIT' } as const;

const TAGS: Readonly<Record<string, string>> = {
  bench: 'The rig, the bench as it is now, and what can be done to it.',
  events: 'What was, and what comes: the stream is a WebSocket, which /asyncapi.json describes.',
  drills: 'Timed scripts of faults with a judged verdict.',
  class: 'The instructor’s side of a class; for instructors alone.',
  seat: 'A seat’s side of a class, opened by the key of the seat and by nothing else.',
  service: 'For whoever watches the bench or writes a client of it; open to all but for the figures.',
};

/** Without a token whoever reaches the bench, from its own machine alone, is an instructor. */
const SECURITY = {
  anybody: [],
  viewer: [{ token: ['viewer'] }, {}],
  instructor: [{ token: ['instructor'] }, {}],
  seat: [{ seat: [] }],
} as const satisfies Record<Who, unknown>;

export const TOKEN_SCHEME = {
  type: 'http',
  scheme: 'bearer',
  description:
    'A token that the bench was started with (--token). A viewer’s lets look, an instructor’s also change. ' +
    'A bench without tokens answers its own machine alone, and wants none.',
} as const;

const SECURITY_SCHEMES = {
  token: TOKEN_SCHEME,
  seat: { type: 'http', scheme: 'bearer', description: 'The key that a seat was given when it joined.' },
} as const;

const GUARD_PROBLEMS: Readonly<Record<Who, readonly ProblemId[]>> = {
  anybody: [],
  viewer: ['token-needed'],
  instructor: ['token-needed', 'not-allowed'],
  seat: ['seat-key-needed'],
};
const OF_ALL: readonly ProblemId[] = ['bad-request', 'foreign-host', 'too-many-requests', 'internal'];
const OF_CHANGES: readonly ProblemId[] = ['foreign-origin', 'too-large', 'not-json'];
const OF_STREAMS: readonly ProblemId[] = ['foreign-origin'];

const ZOD_TO_JSON = {
  override: ({ jsonSchema }: { readonly jsonSchema: JsonSchema }) => {
    withoutObviousBounds(jsonSchema);
    if (isAnything(jsonSchema.additionalProperties)) jsonSchema.additionalProperties = true;
  },
};

/** Routes of plugins have no name, and some no schema. */
function nameOf(told: { readonly operationId?: string } | undefined): string {
  return told?.operationId ?? '';
}

function isAnything(schema: unknown): boolean {
  return typeof schema === 'object' && schema !== null && Object.keys(schema).length === 0;
}

interface Operation {
  security?: unknown;
  responses: Record<string, unknown>;
  readonly operationId?: string;
  readonly summary?: string;
}

export function describeApi(app: FastifyInstance, version: string): void {
  const routes = new Map<string, RouteOptions>();
  const toSchema = createJsonSchemaTransform({ zodToJsonConfig: ZOD_TO_JSON });
  const toDocument = createJsonSchemaTransformObject({ zodToJsonConfig: ZOD_TO_JSON });
  app.register(fastifySwagger, {
    openapi: {
      openapi: '3.1.0',
      info: {
        title: 'leakbench',
        version,
        description: `A bench for the A2L leak chain. ${CAUTION}`,
        license: LICENCE,
      },
      servers: [{ url: '/', description: 'This bench' }],
      tags: Object.entries(TAGS).map(([name, description]) => ({ name, description })),
      components: { securitySchemes: SECURITY_SCHEMES },
    },
    transform: (told) => {
      routes.set(nameOf(told.schema), told.route);
      return toSchema(told);
    },
    transformObject: (told) => {
      const document = toDocument(told) as unknown as Document;
      for (const operation of Object.values(document.paths).flatMap((path) => Object.values(path))) {
        const route = routes.get(nameOf(operation));
        if (route !== undefined) complete(operation, route);
      }
      document.components = {
        ...document.components,
        ...problemComponents(document),
        schemas: used(document),
      };
      return document;
    },
  });
}

interface Document {
  readonly paths: Readonly<Record<string, Readonly<Record<string, Operation>>>>;
  components: Record<string, unknown> & { readonly schemas: Readonly<Record<string, unknown>> };
}

/** Guard and problems of an operation, as its route has them. */
function complete(operation: Operation, route: RouteOptions): void {
  const { who = 'anybody', problems = [] } = route.config ?? {};
  const changes = !isSafe(String(route.method));
  const streams = route.wsHandler !== undefined;
  if (streams) operation.responses = { 101: { description: 'The stream begins' } };
  operation.security = SECURITY[who];
  for (const response of Object.values(operation.responses) as { description?: string }[]) {
    if (response.description === 'Default Response') response.description = operation.summary ?? '';
  }
  const method = changes ? OF_CHANGES : streams ? OF_STREAMS : [];
  const own = [...OF_ALL, ...method, ...GUARD_PROBLEMS[who], ...problems];
  for (const [status, ids] of byStatus(own)) operation.responses[status] = problemResponse(ids);
  operation.responses['default'] = { $ref: '#/components/responses/problem' };
}

function byStatus(ids: readonly ProblemId[]): ReadonlyMap<number, readonly ProblemId[]> {
  const statuses = new Map<number, readonly ProblemId[]>();
  for (const id of ids) {
    const { status } = PROBLEMS[id];
    statuses.set(status, [...(statuses.get(status) ?? []), id]);
  }
  return statuses;
}

function problemResponse(ids: readonly ProblemId[]): object {
  const examples = Object.fromEntries(ids.map((id) => [id, { $ref: `#/components/examples/${id}` }]));
  return {
    description: ids.map((id) => PROBLEMS[id].title).join('; or: '),
    content: { [PROBLEM_MEDIA_TYPE]: { schema: { $ref: '#/components/schemas/Problem' }, examples } },
  };
}

/** An example of every problem that an operation names, and the answer that any may give. */
function problemComponents({ paths }: Document): object {
  const named = new Set(namesIn(paths, 'examples'));
  const examples = Object.entries(PROBLEMS).flatMap(([id, { title, meaning }]) =>
    named.has(id) ? [[id, { summary: title, value: problemDetails(id as ProblemId, meaning) }]] : [],
  ) as readonly [string, object][];
  const schema = { $ref: '#/components/schemas/Problem' };
  return {
    examples: Object.fromEntries(examples),
    responses: {
      problem: { description: 'Whatever else is wrong', content: { [PROBLEM_MEDIA_TYPE]: { schema } } },
    },
  };
}

/** Every schema with an id is made for what comes in and for what goes out; what nothing refers to goes. */
function used({ paths, components }: Document): Readonly<Record<string, unknown>> {
  const { schemas } = components;
  const found = new Set(['Problem']);
  const seek = (part: unknown): void => {
    for (const name of namesIn(part, 'schemas')) {
      if (found.has(name)) continue;
      found.add(name);
      seek(schemas[name]);
    }
  };
  seek(paths);
  return Object.fromEntries(Object.entries(schemas).filter(([name]) => found.has(name)));
}

/** Components of one sort that a part of the document refers to. */
function namesIn(part: unknown, sort: 'schemas' | 'examples'): readonly string[] {
  const refs = JSON.stringify(part).matchAll(/"#\/components\/(\w+)\/([\w-]+)"/gu);
  return [...refs].flatMap(([, of, name]) => (of === sort && name !== undefined ? [name] : []));
}
