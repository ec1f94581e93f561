/** The drill file as it is written (`drill: 1`); load-drill.ts makes a Drill of it. */
import { z } from 'zod';
import { about, quantity, suggestion, switchSchema, VERSION } from '../../src/files/index.ts';
import { RULE_IDS } from '../judge/rules.ts';
import { lessonSchema } from './lesson-schema.ts';
import { oneOf } from './one-of.ts';
import { EXPRESSION_LENGTH_MAX } from './parse-expression.ts';

/** Bench time of a month: a drill must come to its end. */
const LENGTH_DAYS_MAX = 31;
export const LENGTH_MS_MAX = LENGTH_DAYS_MAX * 86_400_000;
const LENGTH = `takes at most ${LENGTH_DAYS_MAX} days`;
/** More than fit into a file that a person would still read. */
export const STEPS_MAX = 10_000;
const EXPECTATIONS_MAX = 1000;

const moment = about(quantity('time', { zeroToo: true }), 'from the beginning of the drill');
const span = quantity('time', { zeroToo: true });

/** The rest of a step is checked against the rig, by what checks a step of the API. */
export const stepAtSchema = z.looseObject({ at: moment });

const rule = z.enum(RULE_IDS, {
  error: ({ input }) =>
    typeof input === 'string'
      ? `there is no rule "${input}"; ${suggestion(input, RULE_IDS)}`
      : 'takes the name of a rule, such as respond',
});

const CONDITION = 'takes a condition, such as fan or coil-a.gas >= setpoint';
const condition = z
  .string({ error: CONDITION })
  .regex(/\S/u, { error: CONDITION })
  .max(EXPRESSION_LENGTH_MAX, { error: `takes at most ${EXPRESSION_LENGTH_MAX} characters` })
  .meta({ description: 'signals joined by and, or, not and parentheses; coil-a.gas >= setpoint' });

const expectation = z
  .strictObject({
    when: condition.optional(),
    at: moment.optional(),
    // biome-ignore lint/suspicious/noThenProperty: the word of the file format; nothing awaits it.
    then: condition,
    within: about(span, 'how long it may take to come true').prefault('0 s'),
    for: about(span, 'how long it must stay true from then on').prefault('0 s'),
  })
  .refine(({ when, at }) => (when === undefined) !== (at === undefined), {
    error: 'takes either when, a condition, or at, a time',
  })
  .meta(oneOf(['when', 'at']));

const NAME = 'takes a text that names the drill';

export const drillSchema = z.strictObject({
  drill: z.literal(1, VERSION).describe('the version of the format'),
  name: z.string({ error: NAME }).regex(/\S/u, { error: NAME }).describe('what people call it'),
  why: z
    .string({ error: 'takes a text: what the drill is for' })
    .default('')
    .meta({ description: 'what the drill is for' }),
  rig: z
    .string({ error: 'takes the path of a rig file, from this file' })
    .min(1, { error: 'takes the path of a rig file, from this file' })
    .meta({ description: 'path of the rig file, from this file' }),
  length: about(
    quantity('time').refine((lengthMs) => lengthMs <= LENGTH_MS_MAX, { error: LENGTH }),
    'bench time from its beginning to its end',
  ),
  calls: z
    .strictObject({
      cooling: switchSchema.prefault('off'),
      heating: switchSchema.prefault('off'),
      fan: switchSchema.prefault('off'),
    })
    .prefault({})
    .meta({ description: 'the calls that stand at the start' }),
  steps: z
    .array(stepAtSchema, { error: 'takes a list, such as [{ at: 30 s, fire: on }]' })
    .max(STEPS_MAX, { error: `takes at most ${STEPS_MAX} steps` })
    .describe('what is done, each at its time')
    .default([]),
  rules: z
    .union(
      [
        z.enum(['all', 'published']),
        z.array(rule),
        z.strictObject({ except: z.array(rule).describe('all but these') }),
      ],
      {
        error: 'takes all, published, a list such as [respond, silent], or { except: [latch] }',
      },
    )
    .meta({ description: 'the rules that are judged' })
    .prefault('all'),
  expect: z
    .array(expectation, { error: 'takes a list, such as [{ at: 15 min, then: fan }]' })
    .max(EXPECTATIONS_MAX, { error: `takes at most ${EXPECTATIONS_MAX} expectations` })
    .describe('conditions of your own')
    .default([]),
  lesson: lessonSchema
    .optional()
    .meta({ description: 'makes it a lesson for a class, whose cause is hidden' }),
});

export type DrillFile = z.infer<typeof drillSchema>;
