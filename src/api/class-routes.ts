/** The instructor's side of a class. A viewer does not even look: the solution stands in it. */
import { networkInterfaces } from 'node:os';
import type { FastifyInstance, FastifyPluginCallback } from 'fastify';
import type { ZodTypeProvider } from 'fastify-type-provider-zod';
import { z } from 'zod';
import { joinAddresses } from '../class/index.ts';
import type { EventRecord } from '../record/index.ts';
import { CHANGE_PROBLEMS, doneBy, doneSchema } from './answers.ts';
import type { ClassOutcome, ClassPort } from './class-port.ts';
import { classHere, mustBeDone, refusalProblem } from './class-problems.ts';
import { type ClassView, classViewSchema, classIdSchema as id, lessonWantedSchema } from './class-schema.ts';
import { guardRoutes, speakZod } from './context.ts';
import type { Tokens } from './tokens.ts';

export interface ClassSources {
  /** null where this process can have no class. */
  readonly classroom: ClassPort | null;
  readonly record: EventRecord;
  readonly tokens: Tokens;
}

const nothing = z.strictObject({}).nullish();
const noPath = z.object({});
const tags = ['class'];
/** A class may not be there, or not be at that point. */
const CLASS_PROBLEMS = ['class-missing', 'class-conflict', ...CHANGE_PROBLEMS] as const;

export function classRoutes(sources: ClassSources): FastifyPluginCallback {
  return (app, _options, registered) => {
    speakZod(app);
    guardRoutes(app, sources.tokens, 'instructors');
    holdRoutes(app, sources);
    lessonRoutes(app, sources);
    seatsRoutes(app, sources);
    registered();
  };
}

function holdRoutes(app: FastifyInstance, { classroom, record }: ClassSources): void {
  const typed = app.withTypeProvider<ZodTypeProvider>();
  typed.get(
    '/api/v1/class',
    {
      config: { problems: ['class-missing'] },
      schema: {
        operationId: 'getClass',
        summary: 'The class, its seats and its lesson; for instructors alone',
        tags,
        response: { 200: z.object({ class: classViewSchema.nullable() }) },
      },
    },
    async () => ({ class: await viewOf(app, classHere(classroom)) }),
  );
  typed.get(
    '/api/v1/class/scores.csv',
    {
      config: { problems: ['class-missing'] },
      schema: {
        operationId: 'getClassScores',
        summary: 'Scores of all lessons revealed so far',
        tags,
        response: {
          200: { description: 'A row a lesson and seat', content: { 'text/csv': { schema: z.string() } } },
        },
      },
    },
    (_request, reply) => {
      const scores = classHere(classroom).scoresCsv();
      if (scores === null) throw refusalProblem('noClass');
      reply.type('text/csv; charset=utf-8');
      reply.header('content-disposition', 'attachment; filename="leakbench-scores.csv"');
      return scores;
    },
  );
  const change = changes(app, record);
  const url = '/api/v1/class';
  change.post(url, nothing, { operationId: 'openClass', summary: 'Open a class' }, () =>
    classHere(classroom).open(),
  );
  change.remove(
    url,
    noPath,
    { operationId: 'closeClass', summary: 'Close the class: code and keys end' },
    () => classHere(classroom).close(),
  );
}

function lessonRoutes(app: FastifyInstance, { classroom, record }: ClassSources): void {
  const change = changes(app, record);
  const url = '/api/v1/class/lesson';
  const start = { operationId: 'startLesson', summary: 'Begin a lesson: its drill plays from a fresh start' };
  change.post(url, lessonWantedSchema, start, (lesson) => classHere(classroom).startLesson(lesson));
  change.remove(url, noPath, { operationId: 'dropLesson', summary: 'Drop the lesson, without points' }, () =>
    classHere(classroom).dropLesson(),
  );
  const reveal = { operationId: 'revealLesson', summary: 'Reveal the solution and give points' };
  change.post('/api/v1/class/reveal', nothing, reveal, () => classHere(classroom).reveal());
}

function seatsRoutes(app: FastifyInstance, { classroom, record }: ClassSources): void {
  const change = changes(app, record);
  const to = id.nullable().meta({ description: 'The id of a seat, everybody, or null for nobody' });
  const give = { operationId: 'giveHand', summary: 'Say who may flip the power switches' };
  change.post('/api/v1/class/hand', z.strictObject({ to }), give, (hand) =>
    classHere(classroom).giveHand(hand.to),
  );
  const remove = { operationId: 'removeSeat', summary: 'Remove a seat: its key ends' };
  change.remove('/api/v1/class/seats/:id', z.object({ id }), remove, (params) =>
    classHere(classroom).removeSeat(params.id),
  );
}

interface Told {
  readonly operationId: string;
  readonly summary: string;
}
type Change<Asked> = (asked: Asked) => ClassOutcome | Promise<ClassOutcome>;

/** Routes that change the class, and answer where the record stood before. */
function changes(app: FastifyInstance, record: EventRecord) {
  const typed = app.withTypeProvider<ZodTypeProvider>();
  const response = { 200: doneSchema };
  const config = { problems: CLASS_PROBLEMS };
  return {
    post<Body extends z.ZodType>(url: string, body: Body, told: Told, change: Change<z.infer<Body>>): void {
      typed.post(url, { config, schema: { ...told, tags, body, response } }, (request) =>
        doneBy(record, () => change(request.body as z.infer<Body>), mustBeDone),
      );
    },
    remove<Path extends z.ZodType>(
      url: string,
      params: Path,
      told: Told,
      change: Change<z.infer<Path>>,
    ): void {
      typed.delete(url, { config, schema: { ...told, tags, params, response } }, (request) =>
        doneBy(record, () => change(request.params as z.infer<Path>), mustBeDone),
      );
    },
  };
}

async function viewOf(app: FastifyInstance, classroom: ClassPort): Promise<ClassView | null> {
  const picture = await classroom.picture();
  if (picture === null) return null;
  const own = Object.values(networkInterfaces()).flatMap((addresses) => addresses ?? []);
  const listening = app.addresses().filter((one) => typeof one === 'object');
  return { ...picture, ...joinAddresses(listening, own, picture.code) };
}
