/** The rig file as it is written (`rig: 1`), with every default; load.ts makes a Rig of it. */

import { z } from 'zod';
import { about, type Bounds, gasAmount, quantity, switchSchema, VERSION } from '../files/index.ts';
import { BAUD_DEFAULT, BAUD_MAX, BAUD_MIN, busAddress, PARITIES, PARITY_DEFAULT } from './address.ts';
import { AIRFLOW, ASKING, LASTING, LIMIT, PERIOD } from './bounds.ts';
import { name, unitId } from './name-schema.ts';
import { LAYERS } from './rig.ts';
import { sensorSchema } from './sensor-schema.ts';
import { serviceSchema } from './service-schema.ts';

/** The field I/O has room for this many compressors and contacts (discrete inputs 8 to 23, 24 to 39). */
const CIRCUITS_MAX = 16;
const SENSORS_MAX = 4096;

const RETRIES = 'takes a whole number, 0 to 10';

const BAUD = `takes bits a second, ${BAUD_MIN} to ${BAUD_MAX}, such as ${BAUD_DEFAULT}`;

/** A gateway between TCP and a serial line of this speed. */
const paceSchema = z.strictObject({
  baud: z
    .int({ error: BAUD })
    .min(BAUD_MIN, { error: BAUD })
    .max(BAUD_MAX, { error: BAUD })
    .describe('speed of the serial line, bits a second')
    .default(BAUD_DEFAULT),
  parity: z.enum(PARITIES, { error: 'takes none, even or odd' }).default(PARITY_DEFAULT),
  timeout: about(quantity('time', ASKING), 'how long the gateway waits for a device').prefault('200 ms'),
});

const lineSchema = z.strictObject({
  id: name,
  listen: z
    .array(busAddress, { error: 'takes a list of addresses, such as [tcp://127.0.0.1:1502]' })
    .min(1)
    .describe('where its devices answer, all at once')
    .prefault(['tcp://127.0.0.1:1502']),
  allow: z
    .array(z.union([z.ipv4(), z.ipv6()], { error: 'takes an IP address, such as 10.0.0.5' }))
    .describe('peers that may connect; empty allows all')
    .default([]),
  pollEvery: about(quantity('time', PERIOD), 'from one poll of a device to the next').prefault('1 s'),
  timeout: about(quantity('time', ASKING), 'how long the supervisor waits for an answer').prefault('300 ms'),
  pace: paceSchema.describe('lets TCP answer no faster than a serial line behind a gateway').optional(),
  retries: z
    .int({ error: RETRIES })
    .min(0, { error: RETRIES })
    .max(10, { error: RETRIES })
    .describe('how often the supervisor asks again before it counts an answer as missing')
    .default(2),
});

const airflowOrNone = quantity('airflow', { ...AIRFLOW, zeroToo: true });
const layer = z.enum(LAYERS, { error: 'takes low or high' });

/** Its flows are choices of ours, no source: measured ones are for whoever has them. */
const layersSchema = z.strictObject({
  low: about(quantity('length'), 'height of the low layer').prefault('0.5 m'),
  mixing: about(airflowOrNone, 'exchange between the two while the fan stands still').prefault('20 m3/h'),
  drain: about(airflowOrNone, 'what runs out of the cabinet into the low layer meanwhile').prefault(
    '15 m3/h',
  ),
  returnFrom: layer.describe('whose air the fan takes').default('low'),
  outsideInto: layer.describe('where outside air comes in').default('high'),
  outsideOutOf: layer.describe('where as much air leaves').default('high'),
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

const refrigerantName = z.string().min(1).describe('its name, such as R-454B');

const refrigerantSchema = z.union(
  [
    z.string().describe('a refrigerant that the bench knows, such as R-32'),
    z.strictObject({
      name: refrigerantName,
      lfl: about(gasAmount, 'its lower flammability limit'),
      molarMass: quantity('molarMass'),
      source: z
        .string({ error: 'takes the standard or data sheet that the LFL is from' })
        .min(1)
        .describe('the standard or data sheet that the LFL is from'),
      composition: composition.describe('parts of a blend with their shares of the mass').optional(),
    }),
    z.strictObject({
      name: refrigerantName,
      lflFrom: z
        .string({ error: 'takes the short id of a published LFL, such as rd552' })
        .describe('the short id of a published LFL, such as rd552'),
    }),
  ],
  { error: REFRIGERANT },
);

const LATCH = 'takes off, or { trips: 3, within: 24 h }';
const off = switchSchema
  .refine((on) => !on, { error: LATCH })
  .transform(() => null)
  .meta({ enum: [false, 'off', 'no', 'false'], description: 'off' });

const within = (words: string, written: string, bounds: Bounds = LIMIT) =>
  about(quantity('time', bounds), words).prefault(written);

const TRIPS = 'takes a whole number of trips, 1 to 1000';

const policySchema = z.strictObject({
  setpoint: about(gasAmount, 'gas from here on').prefault('20 %LFL'),
  clearBelow: about(gasAmount, 'clear again below this').prefault('18 %LFL'),
  hold: within('mitigation goes on for so long, from the last moment of gas on', '5 min', LASTING),
  silentAfter: within('a sensor that does not answer for so long is silent', '5 s'),
  askWithin: within('every sensor is asked at least as often', '10 s'),
  respondWithin: within('from a report to mitigation', '15 s'),
  fanProofWithin: within('from the command to the fan to proven airflow', '10 s'),
  compressorMinOff: about(
    quantity('time', { zeroToo: true, most: '24 h' }),
    'a compressor stays off for at least so long',
  ).prefault('3 min'),
  resumeWithin: within('a call is served again, once the hold may end', '5 min', LASTING),
  latchAfter: z
    .union(
      [
        off,
        z.strictObject({
          trips: z
            .int({ error: TRIPS })
            .min(1, { error: TRIPS })
            .max(1000, { error: TRIPS })
            .describe('how many'),
          within: quantity('time', { least: '1 s', most: '366 days' }),
        }),
      ],
      { error: LATCH },
    )
    .describe('locked out until a service reset, after so many gas trips within a time')
    .prefault('off'),
});

const TITLE = 'takes a text that names the rig, in quotes where it is a number or begins with "#"';
const LISTS = {
  circuits: 'takes a list of names, such as [a, b]',
  lines: 'takes a list, such as [{ id: main }]',
  sensors: 'takes a list, such as [{ id: coil-a, at: cabinet, unitId: 11 }]',
};

export const rigSchema = z.strictObject({
  rig: z.literal(1, VERSION).describe('the version of the format'),
  name: z.string({ error: TITLE }).regex(/\S/u, { error: TITLE }).describe('what people call it').optional(),
  refrigerant: refrigerantSchema,
  charge: about(quantity('mass', { least: '1 g', most: '10000 kg' }), 'in each circuit'),
  room: z
    .strictObject({
      floor: quantity('area', { least: '0.1 m2', most: '1000000 m2' }),
      height: quantity('length', { least: '10 cm', most: '100 m' }),
      airChanges: about(
        quantity('frequency', { zeroToo: true, most: '1000 /h' }),
        'how often its air is exchanged with outside',
      ).prefault('0 /h'),
      layers: layersSchema.describe('air in two layers while the fan stands still').optional(),
    })
    .refine(({ height, layers }) => layers === undefined || layers.low < height, {
      path: ['layers', 'low'],
      error: 'takes less than the height of the room: the high layer lies above it',
    })
    .describe('the room that the unit serves'),
  cabinet: z
    .strictObject({
      volume: quantity('volume', { least: '1 l', most: '10000 m3' }).prefault('1 m3'),
      leakage: about(airflowOrNone, 'air exchanged with the room while the fan is off').prefault('30 m3/h'),
    })
    .describe('the cabinet of the unit')
    .prefault({}),
  fan: z
    .strictObject({
      airflow: quantity('airflow', { ...AIRFLOW, least: '1 m3/h' }).prefault('900 m3/h'),
      spinUp: about(
        quantity('time', { zeroToo: true, most: '10 min' }),
        'airflow begins so much later',
      ).prefault('4 s'),
    })
    .describe('the fan of the unit')
    .prefault({}),
  circuits: z
    .array(name, { error: LISTS.circuits })
    .min(1, { error: 'needs at least one circuit, such as [a]' })
    .max(CIRCUITS_MAX, { error: `takes at most ${CIRCUITS_MAX} circuits` })
    .describe('one compressor each')
    .default(['a']),
  heat: about(switchSchema, 'whether the unit has a heat source, all of them as one output').default(true),
  lines: z
    .array(lineSchema, { error: LISTS.lines })
    .min(1, { error: 'needs at least one line, such as [{ id: main }]' })
    .describe('its Modbus segments')
    .prefault([{ id: 'main' }]),
  sensors: z
    .array(sensorSchema, { error: LISTS.sensors })
    .min(1, { error: 'needs at least one sensor' })
    .max(SENSORS_MAX, { error: `takes at most ${SENSORS_MAX} sensors` })
    .describe('Modbus sensors on the lines, contacts on the field I/O'),
  service: serviceSchema.describe('for the service record of its sensors').prefault({}),
  sharedAddresses: z
    .enum(['allowed', 'forbidden'])
    .describe('whether two sensors of a line may have one address')
    .default('forbidden'),
  fieldIo: z
    .strictObject({
      line: z.string().describe('the line it is on; may be left out where there is one').optional(),
      unitId: unitId.default(200),
      watchdog: about(
        quantity('time', PERIOD),
        'without a complete write for so long compressors and heat drop out, fan and dampers go on',
      ).prefault('5 s'),
    })
    .describe('the module that the controller drives the equipment by')
    .prefault({}),
  policy: policySchema.describe('the limits that a controller must keep').prefault({}),
});

export type RigFile = z.infer<typeof rigSchema>;
