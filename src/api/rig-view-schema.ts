/** What the page and other programs need to know of the rig; every limit with its source. */
import { z } from 'zod';

const faultParameter = z.object({
  name: z.string(),
  takes: z.string().describe('In words, such as "a time, such as 30 s".'),
  example: z
    .string()
    .nullable()
    .describe(
      'To begin with, as it is written; a bare number is sent as a number. null where the rig decides.',
    ),
  choices: z
    .array(z.string())
    .nullable()
    .describe('The words it takes; null where it takes more than a few.'),
  optional: z.boolean(),
  time: z.boolean().describe('It is a time: of a fault that stands it comes in ms.'),
});

const faultKind = z.object({
  kind: z.string(),
  targets: z.array(z.string()),
  meaning: z.string(),
  chance: z.enum(['each request', 'once']).describe('When its chance is drawn, where one is given.'),
  parameters: z.array(faultParameter),
});

const policy = z.object({
  setpoint: z.number().describe('%LFL'),
  clearBelow: z.number().describe('%LFL'),
  holdMs: z.number(),
  silentAfterMs: z.number(),
  askWithinMs: z.number(),
  respondWithinMs: z.number(),
  fanProofWithinMs: z.number(),
  compressorMinOffMs: z.number(),
  resumeWithinMs: z.number(),
  latchAfter: z.object({ trips: z.number().int(), withinMs: z.number() }).nullable(),
});

export const rigViewSchema = z
  .object({
    name: z.string(),
    refrigerant: z.object({ name: z.string(), lflKgPerM3: z.number(), source: z.string() }),
    chargeKg: z.number(),
    room: z.object({ floorM2: z.number(), heightM: z.number(), volumeM3: z.number() }),
    cabinet: z.object({ volumeM3: z.number() }),
    fan: z.object({ airflowM3PerH: z.number(), spinUpMs: z.number() }),
    circuits: z.array(z.string()),
    heat: z.boolean(),
    lines: z.array(z.object({ id: z.string(), address: z.string() })),
    sensors: z.array(
      z.object({
        id: z.string(),
        at: z.string(),
        kind: z.enum(['modbus', 'contact']),
        where: z.string().describe('"line main, unit 11" or "input 8, opens on gas".'),
        serial: z.string().nullable().describe('null for a contact, or where the plan names none.'),
        unitId: z.number().int().nullable().describe('null for a contact.'),
        line: z.string().nullable(),
      }),
    ),
    policy: policy.describe('What a controller must keep; the rig file says what each is.'),
    setpoint: z.object({ percentLfl: z.number(), clearBelow: z.number(), source: z.string() }),
    warnings: z.array(z.string()),
    faultKinds: z.array(faultKind).describe('Fault kinds this bench can play, by target.'),
    places: z.array(z.string()).describe('Where gas can be released or measured.'),
    cautions: z.array(z.string()),
  })
  .meta({ id: 'Rig' });
export type RigView = z.infer<typeof rigViewSchema>;
