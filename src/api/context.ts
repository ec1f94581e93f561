/** What a group of routes is registered under: schemas of zod, a guard, and answers that nobody keeps. */
import type { FastifyInstance } from 'fastify';
import { serializerCompiler, validatorCompiler } from 'fastify-type-provider-zod';
import { isSafe, requireRole, type WhoMayLook } from './guards.ts';
import type { Tokens } from './tokens.ts';

/** The zod compilers hold in this context alone: on the root some plugins' own routes would not compile. */
export function speakZod(app: FastifyInstance): void {
  app.setValidatorCompiler(validatorCompiler);
  app.setSerializerCompiler(serializerCompiler);
}

/** Turns away whoever has no role for it. */
export function guardRoutes(app: FastifyInstance, tokens: Tokens, whoMayLook: WhoMayLook): void {
  const guard = requireRole(tokens, whoMayLook);
  app.addHook('onRoute', (route) => {
    const looks = whoMayLook === 'all roles' && isSafe(String(route.method));
    route.config = { ...route.config, who: looks ? 'viewer' : 'instructor' };
  });
  // After the limits, which are hooks of each route at onRequest: guesses at a token count as well.
  app.addHook('preParsing', (request, reply, _body, next) => {
    guard(request);
    reply.header('cache-control', 'no-store');
    next();
  });
}
