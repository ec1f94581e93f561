/** A step as people write it, before its names are checked against a rig. */
import { z } from 'zod';
import { about, gasAmount, quantity, switchSchema } from '../../src/files/index.ts';
import { PLACES } from '../../src/rig/index.ts';
import { GAS_UNITS } from '../../src/units/index.ts';
import { oneOf } from './one-of.ts';

/** Choices of ours, no source: past them stands a slip of the unit. */
const CHARGE = { most: '10000 kg' };
const RATE = { most: '100 kg/s' };
const HOLE = { most: '100 mm' };
const PRESSURE = { most: '200 bar' };
const VAPOUR_SPACE = { most: '100 m3' };

const time = quantity('time');
const lasts = about(time, 'it ends by itself after so long').optional();
const id = (what: string) => z.string({ error: `takes the name of ${what}` }).describe(`the name of ${what}`);
const word = (on: boolean, error: string) =>
  switchSchema
    .refine((isOn) => isOn === on, { error })
    .meta(
      on
        ? { enum: [true, 'on', 'yes', 'true'], description: 'on' }
        : { enum: [false, 'off', 'no', 'false'], description: 'off' },
    );

const off = word(false, 'takes off').transform(() => null);
const place = z.enum(PLACES).describe('where it escapes');

const MASS = 'takes a mass, such as 4.2 kg';
const kg = z.union(
  [
    z
      .number({ error: MASS })
      .positive({ error: MASS })
      .max(10_000, { error: MASS })
      .describe('a number of kg'),
    quantity('mass', CHARGE),
  ],
  { error: MASS },
);
const SHARE = 'takes a share of the rate, a number from 0 to 1';
const pumpDown = z
  .strictObject({
    after: about(quantity('time', { zeroToo: true }), 'from the beginning of the release'),
    leaves: z
      .number({ error: SHARE })
      .min(0, { error: SHARE })
      .max(1, { error: SHARE })
      .describe('what is left of the rate'),
  })
  .describe('the unit pumps its charge out, and less escapes')
  .optional();

const byRate = z.strictObject({ at: place, rate: quantity('massRate', RATE), lasts, pumpDown });
const byCharge = z.strictObject({
  at: place,
  kg,
  emptiesIn: about(time, 'how long all of it takes'),
  pumpDown,
});
const byHalfLife = z.strictObject({
  at: place,
  kg,
  halfLife: about(time, 'how long half of what is left takes'),
  pumpDown,
});
const byHole = z.strictObject({
  at: place,
  hole: about(quantity('length', HOLE), 'its diameter'),
  pressure: about(quantity('pressure', PRESSURE), 'absolute'),
  vapourSpace: about(quantity('volume', VAPOUR_SPACE), 'how much vapour falls with the pressure').optional(),
  pumpDown,
});
const RELEASE =
  'takes off, { at, rate, lasts }, { at, kg, emptiesIn }, { at, kg, halfLife } or { at, hole, pressure }';

const CALLS = 'takes cooling, heating or fan, each on or off';
const CUT = 'takes a time, such as 10 s, or stays';
const POWER = 'takes cut: 10 s, cut: stays, or restored: true, one of them';

const faultHead = {
  in: id('what has it'),
  kind: z.string({ error: 'takes a kind of fault, such as silent' }),
};

/** What every fault takes, beside the parameters of its kind. */
export const FAULT_FIELDS = {
  ...faultHead,
  lasts,
  probability: z
    .number({ error: 'takes a number from 0 to 1' })
    .min(0, { error: 'takes a number from 0 to 1' })
    .max(1, { error: 'takes a number from 0 to 1' })
    .describe('its chance, a number from 0 to 1, drawn from the seed')
    .optional(),
};

const PARTS = {
  release: z
    .union([off, byRate, byCharge, byHalfLife, byHole], { error: RELEASE })
    .describe('a leak; off ends it')
    .optional(),
  testGas: z
    .strictObject({
      at: id('a sensor'),
      level: z
        .union([off, gasAmount], {
          error: `takes an amount with its unit, such as 40 %LFL (${GAS_UNITS.join(', ')}), or off`,
        })
        .describe('how much'),
      lasts,
    })
    .describe('gas held at one sensor, as with a hose and a bottle')
    .optional(),
  // Loose, because its kind says what else it takes.
  fault: z.looseObject(faultHead).optional(),
  mend: z
    .strictObject({
      in: id('what is to be mended'),
      kind: z.string().describe('one of its faults; left out, all').optional(),
    })
    .describe('takes faults out')
    .optional(),
  call: z
    .strictObject({
      cooling: switchSchema.optional(),
      heating: switchSchema.optional(),
      fan: switchSchema.optional(),
    })
    .refine((call) => Object.keys(call).length > 0, { error: CALLS })
    .meta({ minProperties: 1, description: 'one or more calls begin or end; the others stay' })
    .optional(),
  power: z
    .strictObject({
      to: id('controller, rig or a sensor'),
      cut: z.union([z.literal('stays').describe('until it is restored'), time], { error: CUT }).optional(),
      restored: word(true, 'takes true; to cut it write cut: 10 s or cut: stays').optional(),
    })
    .refine(({ cut, restored }) => (cut === undefined) !== (restored === undefined), { error: POWER })
    .meta({ ...oneOf(['cut', 'restored']), description: 'a supply is cut, or comes back' })
    .optional(),
  serviceReset: z
    .strictObject({}, { error: 'takes {}' })
    .describe('a person presses the button once: {}')
    .optional(),
  fire: about(switchSchema, 'the signal of the fire alarm').optional(),
};

const STEP_KEYS = Object.keys(PARTS);

/** Without `at`: one of these keys. */
export const stepSchema = z
  .strictObject(PARTS)
  .refine((step) => Object.values(step).filter((part) => part !== undefined).length === 1, {
    error: `a step takes exactly one of ${STEP_KEYS.join(', ')}`,
  })
  .meta(oneOf(STEP_KEYS));

type StepFile = z.infer<typeof stepSchema>;
export type ReleaseFile = NonNullable<StepFile['release']>;
export type TestGasFile = NonNullable<StepFile['testGas']>;
export type FaultFile = NonNullable<StepFile['fault']>;
export type MendFile = NonNullable<StepFile['mend']>;
export type CallFile = NonNullable<StepFile['call']>;
export type PowerFile = NonNullable<StepFile['power']>;
