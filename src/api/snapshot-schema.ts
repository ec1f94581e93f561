/**
 * The bench at one moment: the world, the wire, the controller, the clock, and the drill that plays.
 *
 * Units: times in ms of bench time, gas in %LFL, airflow in m3/h, mass in kg.
 */
import { z } from 'zod';
import { faultParameters } from '../events/index.ts';
import { drillStatusSchema } from './drill-schema.ts';

const LAMP_COLOURS = ['off', 'white', 'green', 'red', 'yellow', 'blue'] as const;

const lamp = z.object({
  colour: z.enum(LAMP_COLOURS),
  hz: z.number().describe('Flashes a second; 0 is steady.'),
  word: z
    .string()
    .describe('The word that goes with the colour, since colour alone says nothing to many people.'),
});

const fault = z.object({ kind: z.string(), parameters: faultParameters });

const worldSensor = z.object({
  gas: z.number().describe('True gas at the sensor, %LFL.'),
  testGas: z.number().nullable(),
  powered: z
    .boolean()
    .describe('Whether a supply arrives at it; how its own switch stands is in `unpowered`.'),
  lamp: lamp.nullable(),
  faults: z.array(fault),
});

const world = z.object({
  cabinet: z.number(),
  room: z.number(),
  releaseGPerS: z.number(),
  chargeLeftKg: z.number(),
  airflowM3PerH: z.number(),
  airflowProven: z.boolean(),
  sensors: z.record(z.string(), worldSensor),
  terminals: z
    .record(z.string(), z.boolean())
    .describe('What stands at the terminals: fan, damper, heat, alarm, trouble, compressor.CIRCUIT.'),
  compressorRunning: z.record(z.string(), z.boolean()),
  calls: z.object({ cooling: z.boolean(), heating: z.boolean(), fan: z.boolean() }),
  fire: z.boolean(),
  unpowered: z.array(z.string()).describe('`controller`, `rig` and sensors whose own switch is off.'),
  equipmentFaults: z
    .record(z.string(), z.array(fault))
    .describe(
      'Faults that stand in something else than a sensor, by part: fan, airflow, compressor.a, fieldIo …',
    ),
});

const belief = z.object({
  state: z.string().describe('What it last said of itself; `unheard` before the first good answer.'),
  gas: z.number().nullable(),
  ageMs: z.number().nullable().describe('Time since its last good answer; null before the first.'),
  answering: z.boolean(),
  hazards: z
    .array(z.object({ hazard: z.string(), text: z.string() }))
    .describe('Hazards that hold for this sensor now, each as a sentence.'),
});

const supervisor = z.object({
  state: z.enum(['starting', 'running', 'mitigating', 'holding', 'lockedOut', 'fire']),
  sinceMs: z.number(),
  holdLeftMs: z
    .number()
    .nullable()
    .describe('Time of the hold still to run (it runs while airflow is proven); null where no hold runs.'),
  holdRunning: z.boolean(),
  sensors: z.record(z.string(), belief),
  commands: z
    .record(z.string(), z.object({ on: z.boolean(), because: z.array(z.string()) }))
    .describe(
      'fan, damper, heat, alarm, trouble, compressor.CIRCUIT: commanded on or off, and the chain of facts why.',
    ),
});

const POLL_OUTCOMES = ['answered', 'silent', 'exception', 'broken', 'waiting'] as const;
/** As many as a person takes in at a glance. */
const RECENT_POLLS_MAX = 12;

const wire = z.object({
  units: z.array(
    z.object({
      name: z.string().describe('A sensor, or fieldIo.'),
      line: z.string(),
      unitId: z.number().int(),
      recent: z
        .array(
          z.object({
            atMs: z.number(),
            outcome: z
              .enum(POLL_OUTCOMES)
              .describe('`broken`: bytes came that no careful client takes for the answer.'),
          }),
        )
        .max(RECENT_POLLS_MAX)
        .describe('What was asked of its address and what came of it, the newest last.'),
    }),
  ),
});

export const snapshotSchema = z
  .object({
    sequence: z.number().int().describe('Sequence of the last stored event that this picture includes.'),
    nowMs: z.number(),
    speed: z.number(),
    paused: z.boolean(),
    stepping: z.boolean().describe('The clock runs on to the next event and then stands still.'),
    recordTrouble: z
      .string()
      .nullable()
      .describe('Why nothing can be recorded, and so nothing is released; null where all is well.'),
    world: world.nullable(),
    supervisor: supervisor.nullable(),
    wire: wire.nullable().describe('null where the sensors run elsewhere.'),
    drill: drillStatusSchema.nullable().describe('null where none was played since the last fresh start.'),
  })
  .meta({
    id: 'Snapshot',
    description: 'Times in ms of bench time, gas in %LFL, airflow in m3/h, mass in kg.',
  });
export type Snapshot = z.infer<typeof snapshotSchema>;
export type WireSnapshot = z.infer<typeof wire>;
export type WorldSnapshot = z.infer<typeof world>;
export type SupervisorSnapshot = z.infer<typeof supervisor>;
