/** A class as the API shows it: to the instructor all of it, to a seat what its technician may know. */
import { z } from 'zod';
import { ANSWER_PLACES_MAX, PART_LETTERS_MAX } from '../class/index.ts';
import {
  CAUSE_IDS,
  type CauseId,
  NEXT_STEP_IDS,
  type NextStepId,
  RESTART_IDS,
  type RestartId,
} from '../lesson/index.ts';

const cause = z.enum(CAUSE_IDS as readonly [CauseId, ...CauseId[]]);
const nextStep = z.enum(NEXT_STEP_IDS as readonly [NextStepId, ...NextStepId[]]);
const restart = z.enum(RESTART_IDS as readonly [RestartId, ...RestartId[]]);

export const answerSchema = z
  .strictObject({
    causes: z.array(cause).min(1).max(CAUSE_IDS.length),
    where: z
      .array(z.string().max(PART_LETTERS_MAX))
      .max(ANSWER_PLACES_MAX)
      .describe('Parts of the rig, by the ids that the seat was given.'),
    next: nextStep,
    restart,
  })
  .meta({ id: 'Answer' });

const solution = z.object({
  causes: z.array(cause),
  where: z.array(z.string()),
  next: z.array(nextStep).describe('Any of these is right.'),
  restart: z.array(restart),
});

const score = z.object({
  causes: z.number(),
  where: z.number(),
  next: z.number(),
  restart: z.number(),
  total: z.number(),
});

const lamp = z.object({ colour: z.string(), hz: z.number(), word: z.string() });
const told = { solution, shows: z.string(), teach: z.array(z.string()), safeNextStep: z.string() };

export const fieldViewSchema = z
  .object({
    nowMs: z.number(),
    speed: z.number(),
    paused: z.boolean(),
    sensors: z.array(
      z.object({
        id: z.string(),
        place: z.string().describe('Where it is mounted.'),
        plannedPlace: z.string().describe('Where the plan wants it.'),
        kind: z.enum(['modbus', 'contact']),
        label: z
          .object({ part: z.string(), serial: z.string(), address: z.number().int() })
          .nullable()
          .describe(
            'What is printed on it, and the address that is set in it now; null on a contact sensor.',
          ),
        plan: z.object({ serial: z.string(), address: z.number().int() }).nullable(),
        lamp: lamp.nullable(),
        legend: z.array(lamp),
        switchedOn: z
          .boolean()
          .describe('How its power switch stands; whether the supply arrives, a meter tells.'),
      }),
    ),
    controller: z.object({
      lit: z.boolean(),
      state: z.string().nullable().describe('null where it runs elsewhere or has no power.'),
      says: z.array(z.string()),
      holdLeftMs: z.number().nullable(),
    }),
    runs: z.object({
      fan: z.boolean(),
      air: z.boolean(),
      compressors: z.array(z.object({ id: z.string(), running: z.boolean() })),
      heat: z.boolean(),
    }),
    terminals: z.array(z.object({ id: z.string(), words: z.string(), volts: z.number() })),
    portable: z.array(z.object({ at: z.string(), words: z.string(), percentLfl: z.number() })),
  })
  .meta({ id: 'FieldView' });

/** Ids are short words; what is longer is none. */
const ID_LETTERS_MAX = 200;
export const classIdSchema = z.string().min(1).max(ID_LETTERS_MAX);

export const lessonWantedSchema = z.union([
  z.strictObject({ id: classIdSchema.meta({ description: 'A lesson, as GET /api/v1/class lists it.' }) }),
  z.strictObject({
    text: z.string().meta({ description: 'The text of a drill file (YAML) with a block lesson.' }),
  }),
]);

export const classViewSchema = z
  .object({
    code: z.string(),
    expiresAt: z.string(),
    joinUrls: z.array(z.string()).describe('Addresses for phones, the likeliest first.'),
    reachable: z
      .boolean()
      .describe('False where the bench is bound to this machine alone: no phone can come.'),
    lessons: z.array(
      z.object({
        id: z.string(),
        title: z.string(),
        name: z.string(),
        why: z.string(),
        minutes: z.number(),
        fits: z.string().nullable().describe('Why it cannot be played on this rig; null where it can.'),
      }),
    ),
    seats: z.array(
      z.object({
        id: z.string(),
        name: z.string(),
        present: z.boolean(),
        answer: answerSchema.nullable(),
        score: score.nullable().describe('Of the lesson on, once it is revealed, or of the last one.'),
      }),
    ),
    hand: z
      .string()
      .nullable()
      .describe("Who may flip the sensors' power switches: nobody, `everybody`, or a seat by its id."),
    lesson: z
      .object({
        id: z.string().nullable().describe('null for one that was given as text.'),
        title: z.string(),
        name: z.string(),
        why: z.string(),
        phase: z.enum(['running', 'revealed']),
        beganAtMs: z.number(),
        ...told,
      })
      .nullable(),
    scores: z.array(z.object({ lesson: z.string(), seat: z.string(), total: z.number() })),
    field: fieldViewSchema
      .nullable()
      .describe('What every seat sees, for the screen in front; null while the class gathers.'),
  })
  .meta({ id: 'Class' });

export const seatViewSchema = z
  .object({
    name: z.string(),
    phase: z.enum(['gathering', 'running', 'revealed']),
    title: z.string().nullable(),
    mayFlip: z.boolean(),
    questions: z.object({ parts: z.array(z.object({ id: z.string(), words: z.string() })) }),
    field: fieldViewSchema.nullable().describe('null while the class gathers.'),
    answer: answerSchema.nullable(),
    result: z
      .object({ score, ...told })
      .nullable()
      .describe('Once the lesson is revealed.'),
  })
  .meta({ id: 'Seat' });

export type LessonWanted = z.infer<typeof lessonWantedSchema>;
export type ClassView = z.infer<typeof classViewSchema>;
export type SeatView = z.infer<typeof seatViewSchema>;
export type FieldView = z.infer<typeof fieldViewSchema>;
