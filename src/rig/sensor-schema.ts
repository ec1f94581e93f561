/** A sensor as the rig file writes it. */
import { z } from 'zod';
import { about, gasAmount, gasDifference, quantity, switchSchema } from '../files/index.ts';
import { AGE, LIMIT } from './bounds.ts';
import { CONTACT_INPUT_FIRST, CONTACT_INPUT_LAST } from './field-io.ts';
import { name, unitId } from './name-schema.ts';
import { EXPOSURES, PLACES } from './rig.ts';
import { serviceKeys } from './service-schema.ts';

const place = z.enum(PLACES).describe('where it is mounted');
const exposure = z
  .enum(EXPOSURES, { error: 'takes stream or sheltered' })
  .describe('in the stream of air, or in a pocket beside it that gas reaches later');

/** Ten times as long as any detector may take (30 s): what happens meanwhile is all kept. */
const deadTime = about(
  quantity('time', { zeroToo: true, most: '5 min' }),
  'how long nothing shows at all, 5 min at most',
).prefault('0 s');

const responseT90 = about(
  quantity('time', LIMIT),
  'to 90 % of a step at its inlet, dead time included',
).prefault('10 s');

const SPAN = 'takes a share of the gas with its sign, such as -2 %';

/** What a year does to a reading. */
const driftSchema = z.strictObject({
  zero: about(gasDifference, 'added to the reading, gas or no gas').prefault('0 %LFL'),
  span: z
    .string({ error: SPAN })
    .regex(/^[+-]?\d+(?:\.\d+)?\s*%$/u, { error: SPAN })
    .transform((share) => Number(share.replace('%', '')) / 100)
    .meta({ description: 'of the gas, a share with its sign, such as -2 %' })
    .prefault('0 %'),
});

const modbusSensor = z.strictObject({
  id: name,
  at: place,
  exposure: exposure.optional(),
  kind: z.literal('modbus').optional(),
  line: z.string().describe('the line it is on; may be left out where there is one').optional(),
  unitId,
  profile: z
    .string()
    .describe('a shipped profile by its name, or the path of one of your own')
    .default('reference'),
  ...serviceKeys,
  responseT90,
  selfTest: about(quantity('time', LIMIT), 'its warming up').prefault('4 s'),
  outOfBox: about(switchSchema, 'starts without supply, at its factory address').default(false),
  deadTime,
  noise: about(gasAmount, 'standard deviation from one measurement, one a second, to the next').prefault(
    '0 %LFL',
  ),
  driftPerYear: driftSchema.describe('what a year does to its reading').optional(),
  age: about(quantity('time', AGE), 'its age as the bench begins').optional(),
});

const contactSensor = z.strictObject({
  id: name,
  at: place,
  exposure: exposure.optional(),
  kind: z.literal('contact'),
  input: z
    .int({ error: 'takes the number of a discrete input, 8 to 23' })
    .min(CONTACT_INPUT_FIRST, { error: 'takes a discrete input for contacts, 8 to 23' })
    .max(CONTACT_INPUT_LAST, { error: 'takes a discrete input for contacts, 8 to 23' })
    .describe('the discrete input of the field I/O that it is wired to'),
  contact: z
    .enum(['opens-on-gas', 'closes-on-gas'])
    .describe('closes-on-gas: a broken wire then reads clear')
    .default('opens-on-gas'),
  ...serviceKeys,
  responseT90,
  deadTime,
});

/** A contact says so by its kind; everything else is a Modbus sensor, so that errors speak of one shape. */
export const sensorSchema = z.discriminatedUnion('kind', [modbusSensor, contactSensor], {
  error: ({ input }) =>
    typeof input === 'object' && input !== null && !Array.isArray(input)
      ? 'takes modbus or contact'
      : 'takes a map, such as { id: coil-a, at: cabinet, unitId: 11 }',
});
