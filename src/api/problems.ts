/**
 * Every error the HTTP side answers with: one row a problem, sent as problem details (RFC 9457).
 *
 * The row's key ends the problem's `type`, under which its meaning can be read; `detail` is a sentence about
 * this occurrence, for a person; `requestId` finds it in the log.
 */
import type { FastifyReply, FastifyRequest } from 'fastify';
import { z } from 'zod';

export const PROBLEM_MEDIA_TYPE = 'application/problem+json';

export const PROBLEMS = {
  'bad-request': row(
    400,
    'The request is not understood',
    'A parameter or the body is not of the form asked for.',
  ),
  'token-needed': row(401, 'A token is needed', 'This bench answers only who brings one of its tokens.'),
  'seat-key-needed': row(
    401,
    'A seat’s key is needed',
    'A phone that has joined the class brings the key of its seat; a key ends with its seat and its class.',
  ),
  'not-allowed': row(
    403,
    'The token does not allow this',
    'A viewer may look at the bench; to change it, and to see the class, is for instructors.',
  ),
  'no-hand': row(
    403,
    'The switches are not yours',
    'In a class the instructor says who may flip the power switches.',
  ),
  'foreign-origin': row(
    403,
    'Asked from a page of another site',
    'Only the bench’s own page may do this in a browser.',
  ),
  'foreign-host': row(
    421,
    'Asked under a name that is not this machine’s own',
    'Without a token the bench answers only as localhost: no page elsewhere reaches it by its own name.',
  ),
  'not-found': row(404, 'Nothing is here', 'No route has this path and method.'),
  'class-missing': row(
    404,
    'There is no such class, seat or lesson',
    'The class may be over, or its code be another.',
  ),
  'class-conflict': row(
    409,
    'The class is not at this point',
    'The request was understood; the class would have to be at another point for it.',
  ),
  'page-not-built': row(404, 'The page is not built', 'The API runs; the files of the page are missing.'),
  'upgrade-needed': row(426, 'A WebSocket is needed', 'The stream of events is a WebSocket (RFC 6455).'),
  'too-large': row(
    413,
    'The body is too large',
    'A step or a clock change fits into a fraction of the limit.',
  ),
  'not-json': row(415, 'The body is not JSON', 'Bodies are taken as application/json only.'),
  'step-refused': row(
    422,
    'The bench does not do this',
    'The request was understood; this rig or this moment rules it out.',
  ),
  'too-many-requests': row(429, 'Too many requests', 'Each client has a number of requests a minute.'),
  internal: row(500, 'The bench failed at this', 'A fault of the bench itself; its log says more.'),
  'not-ready': row(503, 'The bench is not ready', 'It runs, but does not serve yet or any longer.'),
  'record-failed': row(
    503,
    'The record failed',
    'Its file could not be read, or took no more; a change that cannot be put on record is not made.',
  ),
  'too-many-streams': row(503, 'Too many streams', 'The number of open event streams has a limit.'),
} as const satisfies Record<string, ProblemRow>;

export type ProblemId = keyof typeof PROBLEMS;

export const problemSchema = z
  .object({
    type: z.string().describe('/problems/ID, where its meaning can be read'),
    title: z.string(),
    status: z.number().int(),
    detail: z.string().describe('what is wrong this time, for a person'),
    requestId: z.string().optional().describe('finds it in the log of the bench'),
    errors: z
      .array(z.object({ pointer: z.string(), detail: z.string() }))
      .optional()
      .describe('where in the request, as a JSON pointer (RFC 6901), and what is wrong there'),
  })
  .meta({ id: 'Problem', description: 'Problem details (RFC 9457)' });
export type ProblemDetails = z.infer<typeof problemSchema>;

interface ProblemRow {
  readonly status: number;
  readonly title: string;
  readonly meaning: string;
}

function row(status: number, title: string, meaning: string): ProblemRow {
  return { status, title, meaning };
}

/** Thrown by handlers and hooks; the error handler sends it. */
export class Problem extends Error {
  readonly problem: ProblemId;
  readonly errors: ProblemDetails['errors'];
  readonly headers: Readonly<Record<string, string>>;

  constructor(
    problem: ProblemId,
    detail: string,
    more: { errors?: ProblemDetails['errors']; headers?: Readonly<Record<string, string>> } = {},
  ) {
    super(detail);
    this.problem = problem;
    this.errors = more.errors;
    this.headers = more.headers ?? {};
  }
}

export function problemDetails(problem: ProblemId, detail: string): ProblemDetails {
  const { status, title } = PROBLEMS[problem];
  return { type: `/problems/${problem}`, title, status, detail };
}

export function sendProblem(problem: Problem, request: FastifyRequest, reply: FastifyReply): void {
  const details = {
    ...problemDetails(problem.problem, problem.message),
    requestId: request.id,
    ...(problem.errors === undefined ? {} : { errors: problem.errors }),
  };
  // As text, so that no route's response schema gets a say in how trouble is told.
  reply.code(details.status).headers(problem.headers).type(PROBLEM_MEDIA_TYPE).send(JSON.stringify(details));
}
