/**
 * A seat's side of a class: outside the roles, since a phone has none. Its key opens these routes and no
 * other; whoever has no key may only join, with the code from the instructor's screen.
 */
import type { FastifyInstance, FastifyPluginCallback, FastifyRequest } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { NO_WRONG_CODES, waitMs, withWrongCode } from '../class/index.ts';
import { isLoopbackPeer } from './addresses.ts';
import type { ClassPort, JoinOutcome } from './class-port.ts';
import { classHere, mustBeDone, refusalProblem } from './class-problems.ts';
import { answerSchema, seatViewSchema } from './class-schema.ts';
import { speakZod } from './context.ts';
import { bearerOf } from './guards.ts';
import { Problem } from './problems.ts';

declare module 'fastify' {
  interface FastifyRequest {
    /** Id of the seat whose key came with the request; empty where none is needed. */
    seat: string;
  }
}

export interface SeatLimits {
  /** Requests a minute of one seat, wherever it is: a class may sit behind one address. */
  readonly seatRequestsPerMinute: number;
  /** Requests a minute of one client without a key. */
  readonly requestsPerMinute: number;
  readonly loopbackRequestsPerMinute: number;
  /** Wrong codes a minute: of one client, of this machine, of all together. */
  readonly wrongCodesPerMinute: number;
  readonly loopbackWrongCodesPerMinute: number;
  readonly allWrongCodesPerMinute: number;
}

const MS_PER_S = 1000;
/** A code has six signs; people put gaps between them. */
const CODE_WRITTEN_MAX = 20;
/** Before it is trimmed, and in code units: the class itself counts letters. */
const NAME_WRITTEN_MAX = 400;
const SENSOR_LETTERS_MAX = 200;
const done = z.strictObject({}).meta({ id: 'Nothing', description: 'It is done.' });
const tags = ['seat'];

export function seatRoutes(classroom: ClassPort | null, limits: SeatLimits): FastifyPluginCallback {
  return (app, _options, registered) => {
    speakZod(app);
    app.addHook('onRequest', (_request, reply, next) => {
      reply.header('cache-control', 'no-store');
      next();
    });
    app.decorateRequest('seat', '');
    joinRoute(app, classroom, limits);
    app.register((seated, _none, ready) => {
      // After the limits, so that keys cannot be tried as fast as they can be sent.
      seated.addHook('preValidation', (request, _reply, next) => {
        request.seat = seatOf(request, classHere(classroom));
        next();
      });
      seatedRoutes(seated, classroom, limits);
      ready();
    });
    registered();
  };
}

function joinRoute(app: FastifyInstance, classroom: ClassPort | null, limits: SeatLimits): void {
  const join = guessLimited(limits);
  app.withTypeProvider<ZodTypeProvider>().post(
    '/api/v1/seat',
    {
      config: { who: 'anybody', problems: ['class-missing', 'class-conflict', 'step-refused'] },
      schema: {
        operationId: 'takeSeat',
        summary: 'Join the class with its code; the key is told this once',
        tags,
        body: z.strictObject({
          code: z.string().max(CODE_WRITTEN_MAX),
          name: z.string().max(NAME_WRITTEN_MAX),
        }),
        response: { 200: z.object({ seat: z.string(), key: z.string() }) },
      },
    },
    ({ body, ip }) => {
      const here = classHere(classroom);
      const { seat, key } = join(ip, () => here.join(body.code, body.name));
      return { seat, key };
    },
  );
}

function seatedRoutes(app: FastifyInstance, classroom: ClassPort | null, limits: SeatLimits): void {
  const typed = app.withTypeProvider<ZodTypeProvider>();
  const rateLimit = bySeat(classroom, limits);
  const config = { who: 'seat', rateLimit, problems: ['class-missing'] } as const;
  const change = {
    ...config,
    problems: ['class-missing', 'class-conflict', 'step-refused', 'no-hand'],
  } as const;
  typed.get(
    '/api/v1/seat',
    {
      config,
      schema: {
        operationId: 'getSeat',
        summary: 'What this seat sees; asked once a second',
        tags,
        response: { 200: seatViewSchema },
      },
    },
    ({ seat }) => {
      const view = classHere(classroom).look(seat);
      if (view === null) throw keyNeeded();
      return view;
    },
  );
  const schema = { tags, response: { 200: done } };
  typed.post(
    '/api/v1/seat/answer',
    {
      config: change,
      schema: {
        ...schema,
        operationId: 'giveAnswer',
        summary: 'Answer, or answer anew, until the lesson is revealed',
        body: answerSchema,
      },
    },
    ({ seat, body }) => {
      mustBeDone(classHere(classroom).answer(seat, body));
      return {};
    },
  );
  typed.post(
    '/api/v1/seat/power',
    {
      config: change,
      schema: {
        ...schema,
        operationId: 'flipPower',
        summary: 'Flip the power switch of a sensor, with the instructor’s leave',
        body: z.strictObject({ sensor: z.string().min(1).max(SENSOR_LETTERS_MAX), on: z.boolean() }),
      },
    },
    ({ seat, body }) => {
      mustBeDone(classHere(classroom).flip(seat, body.sensor, body.on));
      return {};
    },
  );
}

/** Throws where the request brings no key of a seat. */
function seatOf(request: FastifyRequest, classroom: ClassPort): string {
  const key = bearerOf(request);
  const seat = key === undefined ? null : classroom.seatOf(key);
  if (seat === null) throw keyNeeded();
  return seat;
}

function keyNeeded(): Problem {
  return new Problem(
    'seat-key-needed',
    'This is no seat’s key: the class may be over, or the seat removed. Join with the code of the class.',
    { headers: { 'www-authenticate': 'Bearer realm="leakbench class"' } },
  );
}

/** A seat has its own count; without a key it is the client’s, as everywhere. */
function bySeat(classroom: ClassPort | null, limits: SeatLimits) {
  const seatBehind = (request: FastifyRequest): string | null => {
    const key = bearerOf(request);
    return key === undefined ? null : (classroom?.seatOf(key) ?? null);
  };
  return {
    keyGenerator: (request: FastifyRequest) => seatBehind(request) ?? request.ip,
    max: (request: FastifyRequest) => {
      if (seatBehind(request) !== null) return limits.seatRequestsPerMinute;
      return isLoopbackPeer(request.ip) ? limits.loopbackRequestsPerMinute : limits.requestsPerMinute;
    },
  };
}

/** Lets a client try codes as often as it may; a right one does not count. */
function guessLimited(limits: SeatLimits) {
  let wrong = NO_WRONG_CODES;
  return (client: string, join: () => JoinOutcome): Extract<JoinOutcome, { ok: true }> => {
    const now = Date.now();
    const perClient = isLoopbackPeer(client)
      ? limits.loopbackWrongCodesPerMinute
      : limits.wrongCodesPerMinute;
    const wait = waitMs(wrong, client, { perClient, all: limits.allWrongCodesPerMinute }, now);
    if (wait > 0) {
      throw new Problem('too-many-requests', 'Too many wrong codes came; wait a minute, then try again.', {
        headers: { 'retry-after': String(Math.ceil(wait / MS_PER_S)) },
      });
    }
    const joined = join();
    if (joined.ok) return joined;
    if (joined.refusal === 'wrongCode') wrong = withWrongCode(wrong, client, now);
    throw refusalProblem(joined.refusal);
  };
}
