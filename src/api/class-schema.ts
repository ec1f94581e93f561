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

export const answerSchema = z.strictObject({
  causes: z.array(cause).min(1).max(CAUSE_IDS.length),
  /** Parts of the rig, by the ids that the seat was given. */
  where: z.array(z.string().max(PART_LETTERS_MAX)).max(ANSWER_PLACES_MAX),
  next: nextStep,
  restart,
});

const solution = z.object({
  causes: z.array(cause),
  where: z.array(z.string()),
  /** Any of these is right. */
  next: z.array(nextStep),
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

export const fieldViewSchema = z.object({
  nowMs: z.number(),
  speed: z.number(),
  paused: z.boolean(),
  sensors: z.array(
    z.object({
      id: z.string(),
      /** Where it is mounted. */
      place: z.string(),
      /** Where the plan wants it. */
      plannedPlace: z.string(),
      kind: z.enum(['modbus', 'contact']),
      /** What is printed on it, and the address that is set in it now; null on a contact sensor. */
      label: z.object({ part: z.string(), serial: z.string(), address: z.number().int() }).nullable(),
      plan: z.object({ serial: z.string(), address: z.number().int() }).nullable(),
      lamp: lamp.nullable(),
      legend: z.array(lamp),
      /** How its power switch stands; whether the supply arrives, a meter tells. */
      switchedOn: z.boolean(),
    }),
  ),
  controller: z.object({
    lit: z.boolean(),
    /** null where it runs elsewhere or has no power. */
    state: z.string().nullable(),
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
});

export const classViewSchema = z.object({
  code: z.string(),
  expiresAt: z.string(),
  /** Addresses for phones, the likeliest first. */
  joinUrls: z.array(z.string()),
  /** False where the bench is bound to this machine alone: no phone can come. */
  reachable: z.boolean(),
  lessons: z.array(
    z.object({
      id: z.string(),
      title: z.string(),
      name: z.string(),
      why: z.string(),
      minutes: z.number(),
      /** Why it cannot be played on this rig; null where it can. */
      fits: z.string().nullable(),
    }),
  ),
  seats: z.array(
    z.object({
      id: z.string(),
      name: z.string(),
      present: z.boolean(),
      answer: answerSchema.nullable(),
      /** Of the lesson on, once it is revealed, or of the last one. */
      score: score.nullable(),
    }),
  ),
  /** Who may flip the sensors' power switches: nobody, `everybody`, or a seat by its id. */
  hand: z.string().nullable(),
  lesson: z
    .object({
      id: z.string(),
      title: z.string(),
      name: z.string(),
      why: z.string(),
      phase: z.enum(['running', 'revealed']),
      beganAtMs: z.number(),
      ...told,
    })
    .nullable(),
  scores: z.array(z.object({ lesson: z.string(), seat: z.string(), total: z.number() })),
  /** What every seat sees, for the screen in front; null while the class gathers. */
  field: fieldViewSchema.nullable(),
});

export const seatViewSchema = z.object({
  name: z.string(),
  phase: z.enum(['gathering', 'running', 'revealed']),
  title: z.string().nullable(),
  mayFlip: z.boolean(),
  questions: z.object({ parts: z.array(z.object({ id: z.string(), words: z.string() })) }),
  /** null while the class gathers. */
  field: fieldViewSchema.nullable(),
  answer: answerSchema.nullable(),
  /** Once the lesson is revealed. */
  result: z.object({ score, ...told }).nullable(),
});

export type ClassView = z.infer<typeof classViewSchema>;
export type SeatView = z.infer<typeof seatViewSchema>;
export type FieldView = z.infer<typeof fieldViewSchema>;
