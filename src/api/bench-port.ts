/**
 * What the HTTP side needs of whatever runs behind it: a whole bench, the sensors alone, or the supervisor
 * alone. The composition root supplies it; the API knows nothing of the simulator.
 *
 * Units: times in ms of bench time, gas in %LFL, airflow in m3/h, mass in kg.
 */
import { z } from 'zod';
import type { PollReport } from './poll-report-schema.ts';

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

export const snapshotSchema = z.object({
  /** Sequence of the last stored event that this picture includes. */
  sequence: z.number().int(),
  nowMs: z.number(),
  speed: z.number(),
  paused: z.boolean(),
  world: world.nullable(),
  supervisor: supervisor.nullable(),
});
export type Snapshot = z.infer<typeof snapshotSchema>;
export type WorldSnapshot = z.infer<typeof world>;
export type SupervisorSnapshot = z.infer<typeof supervisor>;

/** What the page and other programs need to know of the rig; every limit with its source. */
export const rigViewSchema = z.object({
  name: z.string(),
  refrigerant: z.object({ name: z.string(), lflKgPerM3: z.number(), source: z.string() }),
  chargeKg: z.number(),
  room: z.object({ floorM2: z.number(), heightM: z.number(), volumeM3: z.number() }),
  cabinet: z.object({ volumeM3: z.number() }),
  fan: z.object({ airflowM3PerH: z.number(), spinUpMs: z.number() }),
  circuits: z.array(z.string()),
  heat: z.boolean(),
  lines: z.array(z.object({ id: z.string(), address: z.string() })),
  sensors: z.array(
    z.object({
      id: z.string(),
      at: z.string(),
      kind: z.enum(['modbus', 'contact']),
      /** "line main, unit 11" or "input 8, opens on gas". */
      where: z.string(),
    }),
  ),
  policy: z.record(z.string(), z.unknown()),
  setpoint: z.object({ percentLfl: z.number(), clearBelow: z.number(), source: z.string() }),
  warnings: z.array(z.string()),
  /** Fault kinds this bench can play, by target. */
  faultKinds: z.array(z.object({ kind: z.string(), targets: z.array(z.string()), meaning: z.string() })),
  cautions: z.array(z.string()),
});
export type RigView = z.infer<typeof rigViewSchema>;

export interface BenchPort {
  rigView(): RigView;
  snapshot(): Snapshot;
  /** What the controller asks; null where the sensors run elsewhere. */
  pollReport(): PollReport | null;
  /** Applies a drill step without `at`; a refusal is our own sentence for the caller. */
  applyStep(step: unknown): StepResult;
  setClock(change: {
    readonly speed?: number | undefined;
    readonly paused?: boolean | undefined;
  }): StepResult;
  /** Why the bench is not ready to serve, or null when it is. */
  notReady(): string | null;
}

export type StepResult = { readonly ok: true } | { readonly ok: false; readonly problem: string };
