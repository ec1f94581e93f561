/** What a rig may say of service: of each sensor, and of all that say nothing of their own. */
import { z } from 'zod';
import { about, quantity } from '../files/index.ts';
import { SERVICE } from './bounds.ts';

const life = about(quantity('time', SERVICE), 'how long a sensor serves');
const checkEvery = about(quantity('time', SERVICE), 'how often a sensor is checked with gas');

/** Before the first there was no such sensor to install; past the last stands a slip of the pen. */
const FIRST_DAY = '1950-01-01';
const LAST_DAY = '2199-12-31';

const day = z.iso
  .date({ error: 'takes a day, such as 2025-03-01', abort: true })
  .refine((written) => written >= FIRST_DAY && written <= LAST_DAY, {
    error: `takes a day from ${FIRST_DAY} to ${LAST_DAY}; check the year`,
  });

/** A part number stands in tables, as a name does. */
const PART_LENGTH_MAX = 40;
const PART = 'takes a text; put it in quotes';

export const serviceSchema = z.strictObject({
  life: life.prefault('15 years'),
  checkEvery: checkEvery.prefault('1 years'),
});

/** What every sensor may say for its service record; life and interval are else those of the rig. */
export const serviceKeys = {
  part: z
    .string({ error: PART })
    .regex(/\S/u, { error: PART })
    .max(PART_LENGTH_MAX, { error: `takes at most ${PART_LENGTH_MAX} characters` })
    .describe('its part number')
    .optional(),
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
