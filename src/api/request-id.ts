/** What finds a request in the log: the id that a proxy gave it, where that is one, else our own. */
import type { IncomingMessage } from 'node:http';
import type { FastifyInstance } from 'fastify';

const HEADER = 'x-request-id';
/** What every log and every header can hold as it is; a longer one is somebody's text. */
const SAFE_ID = /^[\w.:-]{1,64}$/u;

export function requestIds(): (request: Pick<IncomingMessage, 'headers'>) => string {
  let last = 0;
  return ({ headers }) => {
    const given = headers[HEADER];
    if (typeof given === 'string' && SAFE_ID.test(given)) return given;
    last += 1;
    return `req-${last.toString(36)}`;
  };
}

/** Every answer tells its id, so that a person can ask for the line in the log. */
export function tellRequestIds(app: FastifyInstance): void {
  app.addHook('onRequest', (request, reply, next) => {
    reply.header(HEADER, request.id);
    next();
  });
}
