/** What the page and other programs need to know of the rig; every limit with its source. */
import { z } from 'zod';

const faultParameter = z.object({
  name: z.string(),
  /** In words, such as "a time, such as 30 s". */
  takes: z.string(),
  /** To begin with, as it is written; a bare number is sent as a number. null where the rig decides. */
  example: z.string().nullable(),
  /** The words it takes; null where it takes more than a few. */
  choices: z.array(z.string()).nullable(),
  optional: z.boolean(),
});

const faultKind = z.object({
  kind: z.string(),
  targets: z.array(z.string()),
  meaning: z.string(),
  /** When its chance is drawn, where one is given. */
  chance: z.enum(['each request', 'once']),
  parameters: z.array(faultParameter),
});

export const rigViewSchema = z.object({
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
      /** "line main, unit 11" or "input 8, opens on gas". */
      where: z.string(),
      /** null for a contact, or where the plan names none. */
      serial: z.string().nullable(),
      /** null for a contact. */
      unitId: z.number().int().nullable(),
      line: z.string().nullable(),
    }),
  ),
  policy: z.record(z.string(), z.unknown()),
  setpoint: z.object({ percentLfl: z.number(), clearBelow: z.number(), source: z.string() }),
  warnings: z.array(z.string()),
  /** Fault kinds this bench can play, by target. */
  faultKinds: z.array(faultKind),
  /** Where gas can be released or measured. */
  places: z.array(z.string()),
  cautions: z.array(z.string()),
});
export type RigView = z.infer<typeof rigViewSchema>;
