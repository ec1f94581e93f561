/**
 * Drills on the bench: which there are, the one that plays, how it was judged, and what was done by hand as
 * a drill of its own. Times are ms of bench time; those of a drill count from its beginning where it says so.
 */
import { z } from 'zod';

const NAME_LENGTH_MAX = 100;
const RESULTS = ['held', 'broken', 'not exercised', 'not applicable'] as const;
const VERDICTS = ['held', 'broken'] as const;

const listing = z
  .object({
    id: z.string().describe('The name of its file without the ending.'),
    name: z.string(),
    why: z.string(),
    lengthMs: z.number(),
    lesson: z.boolean().describe('Its cause is for a class to find.'),
    fits: z.string().nullable().describe('Why it cannot be played on this rig; null where it can.'),
  })
  .meta({ id: 'DrillListing' });
export type DrillListing = z.infer<typeof listing>;
export const drillListSchema = z.object({ drills: z.array(listing) });

export const drillWantedSchema = z.union([
  z.strictObject({
    id: z.string().meta({ description: 'A shipped drill, as GET /api/v1/drills lists it.' }),
  }),
  z.strictObject({ text: z.string().meta({ description: 'The text of a drill file (YAML).' }) }),
]);
export type DrillWanted = z.infer<typeof drillWantedSchema>;

export const drillStatusSchema = z
  .object({
    id: z.string().nullable().describe('null for one that was given as text.'),
    name: z.string(),
    why: z.string(),
    state: z.enum(['playing', 'judged', 'stopped']),
    beganAtMs: z.number(),
    lengthMs: z.number(),
    steps: z
      .array(z.object({ atMs: z.number(), text: z.string(), done: z.boolean() }))
      .describe('atMs counts from the beginning of the drill.'),
    lesson: z.boolean(),
    verdict: z.enum(VERDICTS).nullable().describe('null until it is judged.'),
  })
  .meta({ id: 'DrillStatus' });
export type DrillStatus = z.infer<typeof drillStatusSchema>;

/** As `drill --json` gives them; both lists are empty until the drill is judged. */
export const drillReportSchema = drillStatusSchema
  .extend({
    notes: z.array(z.string()),
    rules: z.array(
      z.object({
        id: z.string(),
        result: z.enum(RESULTS),
        margin: z.number().nullable(),
        unit: z.literal('s'),
        atMs: z.number().nullable().describe('From the beginning of the drill.'),
        sensor: z.string().nullable(),
        because: z.array(z.string()),
      }),
    ),
    expectations: z.array(
      z.object({ text: z.string(), result: z.enum(VERDICTS), because: z.array(z.string()) }),
    ),
  })
  .meta({
    id: 'DrillReport',
    description: 'As drill --json gives them; both lists are empty until the drill is judged.',
  });
export type DrillReport = z.infer<typeof drillReportSchema>;

export const recordingNameSchema = z.object({
  name: z
    .string()
    .regex(/\S/u)
    .max(NAME_LENGTH_MAX)
    .optional()
    .meta({ description: 'What the drill is to be called.' }),
});

export const recordingSchema = z
  .object({
    steps: z.number().int(),
    fromMs: z.number().describe('The fresh start that it begins with.'),
    text: z.string().describe('A drill file (YAML).'),
  })
  .meta({ id: 'Recording' });
export type Recording = z.infer<typeof recordingSchema>;
