/** An event as it is stored and sent: CloudEvents 1.0, JSON format. */
import { z } from 'zod';

const SEVERITIES = ['trace', 'info', 'notice', 'warning', 'alarm'] as const;

export const eventSchema = z
  .object({
    specversion: z.literal('1.0'),
    id: z.string(),
    source: z.string(),
    type: z.string(),
    time: z.string(),
    sequence: z.number().int(),
    datacontenttype: z.literal('application/json'),
    data: z.object({
      atMs: z.number(),
      severity: z.enum(SEVERITIES),
      text: z.string(),
      fields: z.record(z.string(), z.unknown()),
    }),
  })
  .meta({ description: 'CloudEvents 1.0.2; sequence counts from 1 without a gap, atMs is bench time.' });
