/** What a rig may say of service: of each sensor, and of all that say nothing of their own. */
import { z } from 'zod';
import { about, quantity } from '../files/index.ts';
import { SERVICE_MS_MIN } from './service.ts';

/** Service is counted in days. */
const serviceTime = quantity('time').refine((timeMs) => timeMs >= SERVICE_MS_MIN, {
  error: 'takes a day or more, such as 1 years or 180 days',
});
const life = about(serviceTime, 'how long a sensor serves');
const checkEvery = about(serviceTime, 'how often a sensor is checked with gas');
const day = z.iso.date({ error: 'takes a day, such as 2025-03-01' });

export const serviceSchema = z.strictObject({
  life: life.prefault('15 years'),
  checkEvery: checkEvery.prefault('1 years'),
});

/** What every sensor may say for its service record; life and interval are else those of the rig. */
export const serviceKeys = {
  part: z.string({ error: 'takes a text; put it in quotes' }).min(1).describe('its part number').optional(),
  serial: z
    .string({ error: 'takes a text; put it in quotes' })
    .regex(/^[ -~]*[!-~]$/u, { error: 'takes ASCII letters, digits and signs, no space at its end' })
    .describe('the planned serial, in quotes; left out, any is right')
    .optional(),
  installed: day.describe('day of installation').optional(),
  checked: day.describe('day of the last check with gas').optional(),
  serviceLife: life.optional(),
  checkEvery: checkEvery.optional(),
};
