/**
 * The bench at one moment: the world, the wire, the controller, the clock, and the drill that plays.
 *
 * Units: times in ms of bench time, gas in %LFL, airflow in m3/h, mass in kg.
 */
import { z } from 'zod';
import { drillStatusSchema } from './drill-schema.ts';

const LAMP_COLOURS = ['off', 'white', 'green', 'red', 'yellow', 'blue'] as const;

const lamp = z.object({
  colour: z.enum(LAMP_COLOURS),
  /** Flashes a second; 0 is steady. */
  hz: z.number(),
  /** The word that goes with the colour, since colour alone says nothing to many people. */
  word: z.string(),
});

const fault = z.object({ kind: z.string(), parameters: z.record(z.string(), z.unknown()) });

const worldSensor = z.object({
  /** True gas at the sensor, %LFL. */
  gas: z.number(),
  testGas: z.number().nullable(),
  powered: z.boolean(),
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
  /** What stands at the terminals: fan, damper, heat, alarm, trouble, compressor.CIRCUIT. */
  terminals: z.record(z.string(), z.boolean()),
  compressorRunning: z.record(z.string(), z.boolean()),
  calls: z.object({ cooling: z.boolean(), heating: z.boolean(), fan: z.boolean() }),
  fire: z.boolean(),
  /** `controller`, `rig` and sensors without power. */
  unpowered: z.array(z.string()),
  /** Faults that stand in something else than a sensor, by part: fan, airflow, compressor.a, fieldIo … */
  equipmentFaults: z.record(z.string(), z.array(fault)),
});

const belief = z.object({
  /** What it last said of itself; `unheard` before the first good answer. */
  state: z.string(),
  gas: z.number().nullable(),
  /** Time since its last good answer; null before the first. */
  ageMs: z.number().nullable(),
  answering: z.boolean(),
  /** Hazards that hold for this sensor now, each as a sentence. */
  hazards: z.array(z.object({ hazard: z.string(), text: z.string() })),
});

const supervisor = z.object({
  state: z.enum(['starting', 'running', 'mitigating', 'holding', 'lockedOut', 'fire']),
  sinceMs: z.number(),
  /** Time of the hold still to run (it runs while airflow is proven); null where no hold runs. */
  holdLeftMs: z.number().nullable(),
  holdRunning: z.boolean(),
  sensors: z.record(z.string(), belief),
  /**
   * fan, damper, heat, alarm, trouble, compressor.CIRCUIT: commanded on or off, and the chain of facts why.
   */
  commands: z.record(z.string(), z.object({ on: z.boolean(), because: z.array(z.string()) })),
});

const POLL_OUTCOMES = ['answered', 'silent', 'exception', 'broken', 'waiting'] as const;
/** As many as a person takes in at a glance. */
const RECENT_POLLS_MAX = 12;

const wire = z.object({
  units: z.array(
    z.object({
      /** A sensor, or fieldIo. */
      name: z.string(),
      line: z.string(),
      unitId: z.number().int(),
      /** What was asked of its address and what came of it, the newest last. */
      recent: z
        .array(
          z.object({
            atMs: z.number(),
            /** `broken`: bytes came that no careful client takes for the answer. */
            outcome: z.enum(POLL_OUTCOMES),
          }),
        )
        .max(RECENT_POLLS_MAX),
    }),
  ),
});

export const snapshotSchema = z.object({
  /** Sequence of the last stored event that this picture includes. */
  sequence: z.number().int(),
  nowMs: z.number(),
  speed: z.number(),
  paused: z.boolean(),
  /** The clock runs on to the next event and then stands still. */
  stepping: z.boolean(),
  world: world.nullable(),
  supervisor: supervisor.nullable(),
  /** null where the sensors run elsewhere. */
  wire: wire.nullable(),
  /** null where none was played since the last fresh start. */
  drill: drillStatusSchema.nullable(),
});
export type Snapshot = z.infer<typeof snapshotSchema>;
export type WireSnapshot = z.infer<typeof wire>;
export type WorldSnapshot = z.infer<typeof world>;
export type SupervisorSnapshot = z.infer<typeof supervisor>;
