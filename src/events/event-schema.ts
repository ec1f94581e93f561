/** An event as it is stored and sent: CloudEvents 1.0, JSON format. */
import { z } from 'zod';
import { CATALOGUE, type EventId, type Fact, SEVERITIES } from './catalogue.ts';
import { toCloudEvent, typeOf } from './cloud-event.ts';

const EXAMPLE: Fact = { id: 'power.cut', atMs: 12_000, fields: { to: 'coil-b' } };
const EXAMPLE_WALL_CLOCK_MS = Date.UTC(2026, 2, 1, 8);

/** Of whatever type: a record may hold some of another version. */
export const eventSchema = z
  .object({
    specversion: z.literal('1.0'),
    id: z.string().describe('unique together with source, in every record'),
    source: z.string().describe('which part of which bench stated it: /rigs/NAME/PART'),
    type: z.string(),
    time: z.iso.datetime().describe('wall clock when it was handed to the record'),
    sequence: z.number().int().describe('place in the record, counted from 1 without a gap'),
    datacontenttype: z.literal('application/json'),
    data: z.object({
      atMs: z.number().meta({ description: 'bench time', 'x-unit': 'ms' }),
      severity: z.enum(SEVERITIES),
      text: z.string().describe('what happened, for a person'),
      fields: z
        .record(z.string(), z.unknown())
        .meta({ description: 'by the type of the event: see /asyncapi.json', additionalProperties: true }),
    }),
  })
  .meta({
    id: 'Event',
    description: 'An event (CloudEvents 1.0.2, JSON format, with the extension sequence)',
    examples: [toCloudEvent(EXAMPLE, 7, EXAMPLE_WALL_CLOCK_MS, 'Tide Street Library, archive room')],
  });

/** Of one type of this version, with its fields. */
export function eventSchemaOf(id: EventId): z.ZodObject {
  const { severity, fields } = CATALOGUE[id];
  const { shape } = eventSchema;
  return z.object({
    ...shape,
    type: z.literal(typeOf(id)),
    data: z.object({ ...shape.data.shape, severity: z.literal(severity), fields }),
  });
}
