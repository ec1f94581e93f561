/** Turns whatever went wrong with a request into a problem of the catalogue. */
import type { Socket } from 'node:net';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { hasZodFastifySchemaValidationErrors } from 'fastify-type-provider-zod';
import { RecordError } from '../record/index.ts';
import { PROBLEM_MEDIA_TYPE, Problem, problemDetails, sendProblem } from './problems.ts';

/** A step or a clock change is a few hundred bytes. */
export const BODY_BYTES_MAX = 64 * 1024;

/** What fastify and its plugins answer of themselves, in our own words. */
const OWN_WORDS: Readonly<Record<number, Problem>> = {
  400: new Problem(
    'bad-request',
    'The request is not well formed: see that its address is right and its body is JSON.',
  ),
  404: new Problem('not-found', 'There is nothing here; /docs lists what there is.'),
  413: new Problem('too-large', `A body may have ${BODY_BYTES_MAX / 1024} KiB at most.`),
  415: new Problem('not-json', 'Send the body as JSON, with the header Content-Type: application/json.'),
  429: new Problem('too-many-requests', 'Wait as long as the header Retry-After says, in seconds.'),
};

export function problemOf(error: unknown): Problem {
  if (error instanceof Problem) return error;
  if (error instanceof RecordError) return new Problem('record-failed', error.message);
  if (hasZodFastifySchemaValidationErrors(error)) {
    const errors = error.validation.map(({ instancePath, message }) => ({
      pointer: instancePath,
      detail: message ?? 'is not of the form asked for',
    }));
    const where = errors.map(({ pointer, detail }) => `${pointer}: ${detail}`).join('; ');
    return new Problem('bad-request', `In the ${error.validationContext ?? 'request'}, ${where}.`, {
      errors,
    });
  }
  const status = statusOf(error);
  const known = OWN_WORDS[status];
  if (known !== undefined) return known;
  return status >= 400 && status < 500
    ? new Problem('bad-request', 'The request cannot be answered as it is.')
    : new Problem('internal', 'The bench failed at this request. Its log says more, under the request’s id.');
}

export function answerTrouble(error: unknown, request: FastifyRequest, reply: FastifyReply): void {
  const problem = problemOf(error);
  if (problem.problem === 'internal' || problem.problem === 'record-failed') {
    request.log.error({ err: error }, 'request failed');
  }
  sendProblem(problem, request, reply);
}

/**
 * For an address that cannot be read. It comes before all hooks: neither helmet nor the limits have seen it.
 * To answer costs as little as to refuse by a limit; what is said is the same for everybody. A connection
 * that was to become a WebSocket is nobody's to end either, and would stay for ever.
 */
export function answerUnreadable(error: unknown, request: FastifyRequest, reply: FastifyReply): void {
  reply.headers({ 'x-content-type-options': 'nosniff', 'content-security-policy': "default-src 'none'" });
  reply.header('connection', 'close');
  reply.raw.once('finish', () => {
    reply.raw.destroy();
  });
  answerTrouble(error, request, reply);
}

/** For what never became a request: a garbled one, one too slow, or one with too many headers. */
export function answerGarbled(_error: Error, socket: Socket): void {
  if (!socket.writable) {
    socket.destroy();
    return;
  }
  const body = JSON.stringify(problemDetails('bad-request', 'What came is not a request of HTTP/1.1.'));
  socket.end(
    `HTTP/1.1 400 Bad Request\r\nConnection: close\r\nContent-Type: ${PROBLEM_MEDIA_TYPE}\r\n` +
      `Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`,
  );
}

function statusOf(error: unknown): number {
  const status = error instanceof Error && 'statusCode' in error ? error.statusCode : undefined;
  return typeof status === 'number' ? status : 500;
}
