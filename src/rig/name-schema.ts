/** What names a thing of the rig, or finds it on a line. */
import { z } from 'zod';
import { UNIT_MAX } from '../modbus/index.ts';

/** Words of steps and signals: a sensor, circuit or line cannot go by one of these. */
const RESERVED = new Set(
  `rig room cabinet room-low room-high controller fieldIo fan airflow compressor output heat damper alarm
  trouble call fire setpoint not and or on off yes no true false`.split(/\s+/u),
);

/** A name stands in tables, on a phone too. */
const NAME_LENGTH_MAX = 40;
const NAME = 'takes a name of letters, digits and dashes, a letter first';

/** Names become parts of signals (`coil-a.gas`), so they hold no dot and no space. */
export const name = z
  .string({ error: NAME })
  .regex(/^[A-Za-z][A-Za-z0-9-]*$/u, { error: NAME })
  .max(NAME_LENGTH_MAX, { error: `takes at most ${NAME_LENGTH_MAX} characters` })
  .refine((id) => !RESERVED.has(id), {
    error: ({ input }) => `"${String(input)}" is a word of the bench; choose another name`,
  })
  .describe('a name of letters, digits and dashes, a letter first');

export const unitId = z
  .int({ error: 'takes a whole number, 1 to 247', abort: true })
  .min(1, { error: 'takes a Modbus address, 1 to 247 (0 is broadcast)' })
  .max(UNIT_MAX, { error: 'takes a Modbus address, 1 to 247 (248 to 255 are reserved)' })
  .describe('its Modbus address');
