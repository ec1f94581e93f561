/** The rig file as it is written (`rig: 1`), with every default; load.ts makes a Rig of it. */

import { z } from 'zod';
import { gasAmount, gasDifference, quantity, switchSchema } from '../files/index.ts';
import { UNIT_MAX } from '../modbus/index.ts';
import { BAUD_DEFAULT, BAUD_MAX, BAUD_MIN, busAddress, PARITIES, PARITY_DEFAULT } from './address.ts';
import { CONTACT_INPUT_FIRST, CONTACT_INPUT_LAST } from './field-io.ts';
import { EXPOSURES, LAYERS, PLACES } from './rig.ts';

/** The field I/O has room for this many compressors and contacts (discrete inputs 8 to 23, 24 to 39). */
const CIRCUITS_MAX = 16;
const SENSORS_MAX = 4096;

/** Words of steps and signals: a sensor, circuit or line cannot go by one of these. */
const RESERVED = new Set(
  `rig room cabinet room-low room-high controller fieldIo fan airflow compressor output heat damper alarm
  trouble call fire setpoint not and or on off yes no true false`.split(/\s+/u),
);

const NAME = 'takes a name of letters, digits and dashes, a letter first';

/** Names become parts of signals (`coil-a.gas`), so they hold no dot and no space. */
const name = z
  .string({ error: NAME })
  .regex(/^[A-Za-z][A-Za-z0-9-]*$/u, { error: NAME })
  .refine((id) => !RESERVED.has(id), {
    error: ({ input }) => `"${String(input)}" is a word of the bench; choose another name`,
  });

const unitId = z
  .int({ error: 'takes a whole number, 1 to 247' })
  .min(1, { error: 'takes a Modbus address, 1 to 247 (0 is broadcast)' })
  .max(UNIT_MAX, { error: 'takes a Modbus address, 1 to 247 (248 to 255 are reserved)' });

const RETRIES = 'takes a whole number, 0 to 10';

const BAUD = `takes bits a second, ${BAUD_MIN} to ${BAUD_MAX}, such as ${BAUD_DEFAULT}`;

/** A gateway between TCP and a serial line of this speed. */
const paceSchema = z.strictObject({
  baud: z
    .int({ error: BAUD })
    .min(BAUD_MIN, { error: BAUD })
    .max(BAUD_MAX, { error: BAUD })
    .default(BAUD_DEFAULT),
  parity: z.enum(PARITIES, { error: 'takes none, even or odd' }).default(PARITY_DEFAULT),
  timeout: quantity('time').default(200),
});

const lineSchema = z.strictObject({
  id: name,
  listen: z
    .array(busAddress, { error: 'takes a list of addresses, such as [tcp://127.0.0.1:1502]' })
    .min(1)
    .default([{ kind: 'tcp', host: '127.0.0.1', port: 1502 }]),
  allow: z
    .array(z.union([z.ipv4(), z.ipv6()], { error: 'takes an IP address, such as 10.0.0.5' }))
    .default([]),
  pollEvery: quantity('time').default(1000),
  timeout: quantity('time').default(300),
  pace: paceSchema.optional(),
  retries: z.int({ error: RETRIES }).min(0, { error: RETRIES }).max(10, { error: RETRIES }).default(2),
});

const place = z.enum(PLACES);
const exposure = z.enum(EXPOSURES, { error: 'takes stream or sheltered' });
const layer = z.enum(LAYERS, { error: 'takes low or high' });

/** Its flows are choices of ours, no source: measured ones are for whoever has them. */
const layersSchema = z.strictObject({
  low: quantity('length').default(0.5),
  mixing: quantity('airflow', { zeroToo: true }).default(20 / 3600),
  drain: quantity('airflow', { zeroToo: true }).default(15 / 3600),
  returnFrom: layer.default('low'),
  outsideInto: layer.default('high'),
  outsideOutOf: layer.default('high'),
});

/** Ten times as long as any detector may take (30 s): what happens meanwhile is all kept. */
const DEAD_TIME_MS_MAX = 300_000;

const deadTime = quantity('time', { zeroToo: true })
  .refine((timeMs) => timeMs <= DEAD_TIME_MS_MAX, { error: 'takes at most 5 min' })
  .default(0);

const SPAN = 'takes a share of the gas with its sign, such as -2 %';

/** What a year does to a reading. */
const driftSchema = z.strictObject({
  zero: gasDifference.default({ value: 0, unit: '%LFL' }),
  span: z
    .string({ error: SPAN })
    .regex(/^[+-]?\d+(?:\.\d+)?\s*%$/u, { error: SPAN })
    .transform((share) => Number(share.replace('%', '')) / 100)
    .default(0),
});

const modbusSensor = z.strictObject({
  id: name,
  at: place,
  exposure: exposure.optional(),
  kind: z.literal('modbus').optional(),
  line: z.string().optional(),
  unitId,
  profile: z.string().default('reference'),
  serial: z
    .string({ error: 'takes a text; put it in quotes' })
    .regex(/^[ -~]*[!-~]$/u, { error: 'takes ASCII letters, digits and signs, no space at its end' })
    .optional(),
  responseT90: quantity('time').default(10_000),
  selfTest: quantity('time').default(4000),
  installed: z.iso.date({ error: 'takes a day, such as 2025-03-01' }).optional(),
  outOfBox: switchSchema.default(false),
  deadTime,
  noise: gasAmount.default({ value: 0, unit: '%LFL' }),
  driftPerYear: driftSchema.optional(),
  age: quantity('time', { zeroToo: true }).optional(),
});

const contactSensor = z.strictObject({
  id: name,
  at: place,
  exposure: exposure.optional(),
  kind: z.literal('contact'),
  input: z
    .int({ error: 'takes the number of a discrete input, 8 to 23' })
    .min(CONTACT_INPUT_FIRST, { error: 'takes a discrete input for contacts, 8 to 23' })
    .max(CONTACT_INPUT_LAST, { error: 'takes a discrete input for contacts, 8 to 23' }),
  contact: z.enum(['opens-on-gas', 'closes-on-gas']).default('opens-on-gas'),
  responseT90: quantity('time').default(10_000),
  deadTime,
});

/** A contact says so by its kind; everything else is a Modbus sensor, so that errors speak of one shape. */
const sensorSchema = z.discriminatedUnion('kind', [modbusSensor, contactSensor], {
  error: 'takes modbus or contact',
});

const REFRIGERANT = 'takes a name, such as R-32, or { name, lflFrom }, or { name, lfl, molarMass, source }';

const SHARE = 'takes a share of the mass, such as 68.9 %mass';

/** Parts of a blend by mass; what they must add up to is checked where the fluids are known. */
const composition = z.record(
  z.string(),
  z
    .string({ error: SHARE })
    .regex(/^\d+(?:\.\d+)?\s*%mass$/u, { error: SHARE })
    .transform((share) => Number(share.replace('%mass', ''))),
  { error: 'takes the parts with their shares, such as { R-32: 68.9 %mass, R-1234yf: 31.1 %mass }' },
);

const refrigerantSchema = z.union(
  [
    z.string(),
    z.strictObject({
      name: z.string().min(1),
      lfl: gasAmount,
      molarMass: quantity('molarMass'),
      source: z.string({ error: 'takes the standard or data sheet that the LFL is from' }).min(1),
      composition: composition.optional(),
    }),
    z.strictObject({
      name: z.string().min(1),
      lflFrom: z.string({ error: 'takes the short id of a published LFL, such as rd552' }),
    }),
  ],
  { error: REFRIGERANT },
);

const LATCH = 'takes off, or { trips: 3, within: 24 h }';
const off = switchSchema.refine((on) => !on, { error: LATCH }).transform(() => null);

const policySchema = z.strictObject({
  setpoint: gasAmount.default({ value: 20, unit: '%LFL' }),
  clearBelow: gasAmount.default({ value: 18, unit: '%LFL' }),
  hold: quantity('time').default(300_000),
  silentAfter: quantity('time').default(5000),
  askWithin: quantity('time').default(10_000),
  respondWithin: quantity('time').default(15_000),
  fanProofWithin: quantity('time').default(10_000),
  compressorMinOff: quantity('time', { zeroToo: true }).default(180_000),
  resumeWithin: quantity('time').default(300_000),
  latchAfter: z
    .union([off, z.strictObject({ trips: z.int().min(1), within: quantity('time') })], { error: LATCH })
    .default(null),
});

export const rigSchema = z.strictObject({
  rig: z.literal(1),
  name: z.string().min(1).optional(),
  refrigerant: refrigerantSchema,
  charge: quantity('mass'),
  room: z
    .strictObject({
      floor: quantity('area'),
      height: quantity('length'),
      airChanges: quantity('frequency', { zeroToo: true }).default(0),
      layers: layersSchema.optional(),
    })
    .refine(({ height, layers }) => layers === undefined || layers.low < height, {
      path: ['layers', 'low'],
      error: 'takes less than the height of the room: the high layer lies above it',
    }),
  cabinet: z
    .strictObject({
      volume: quantity('volume').default(1),
      leakage: quantity('airflow', { zeroToo: true }).default(30 / 3600),
    })
    .prefault({}),
  fan: z
    .strictObject({
      airflow: quantity('airflow').default(900 / 3600),
      spinUp: quantity('time', { zeroToo: true }).default(4000),
    })
    .prefault({}),
  circuits: z.array(name).min(1).max(CIRCUITS_MAX).default(['a']),
  heat: switchSchema.default(true),
  lines: z
    .array(lineSchema)
    .min(1)
    .prefault([{ id: 'main' }]),
  sensors: z.array(sensorSchema).min(1, { error: 'needs at least one sensor' }).max(SENSORS_MAX),
  sharedAddresses: z.enum(['allowed', 'forbidden']).default('forbidden'),
  fieldIo: z
    .strictObject({
      line: z.string().optional(),
      unitId: unitId.default(200),
      watchdog: quantity('time').default(5000),
    })
    .prefault({}),
  policy: policySchema.prefault({}),
});

export type RigFile = z.infer<typeof rigSchema>;
