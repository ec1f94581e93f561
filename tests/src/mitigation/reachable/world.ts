/**
 * The world of the enumeration: what a machine can be told in one step, and how time passes.
 *
 * All limits of the policy are whole ticks, and every step takes a whole number of ticks. The machine looks
 * at ages only to see whether a limit is reached, so two states whose ages agree up to their limits behave
 * alike from then on: the enumeration over such classes is complete for steps of whole ticks.
 */
import type { Finding, PlantInputs } from '../../../../src/belief/index.ts';
import type { MitigationPolicy, SensorSituation, Situation } from '../../../../src/mitigation/index.ts';
import { type Ms, ms, percentLfl } from '../../../../src/units/index.ts';

/** As long as feedback may disagree with a command before it is a hazard. */
export const TICK_MS = 5000;
export const HOLD_TICKS = 2;

export const POLICY: MitigationPolicy = {
  circuits: ['a'],
  heat: true,
  setpoint: percentLfl(20),
  clearBelow: percentLfl(18),
  holdMs: ms(HOLD_TICKS * TICK_MS),
  fanProofWithinMs: ms(TICK_MS),
  compressorMinOffMs: ms(TICK_MS),
  latchAfter: { trips: 2, withinMs: ms(1e12) },
};

/** Within the same moment; past minimum off time, feedback and fan proof; past the hold. */
export const STEP_TICKS = [0, 1, HOLD_TICKS + 1] as const;

export type Coil =
  | 'well'
  /** Well when last heard, which was at the step before. */
  | 'stale'
  | 'gas'
  | 'lingering'
  | 'contradiction'
  | 'silent'
  | 'selfFailed'
  | 'untested';
export type Contact = 'well' | 'gas' | 'silent';
type Call = 'none' | 'cooling' | 'heating' | 'both';

/** One thing that a machine can be told. */
export interface Told {
  readonly coil: Coil;
  readonly contact: Contact;
  readonly heard: boolean;
  readonly airflow: boolean;
  readonly call: Call;
  readonly reset: boolean;
  readonly fire: boolean;
  /** Compressors that run whatever is commanded, by circuit. */
  readonly welded: readonly boolean[];
  /** Whether the write that follows the step reaches the field I/O. */
  readonly written: boolean;
}

const FINDINGS: Readonly<Record<Coil | Contact, readonly Finding[]>> = {
  well: [],
  stale: [],
  untested: [],
  gas: ['gas'],
  lingering: ['gas'],
  contradiction: ['contradiction'],
  silent: ['silent'],
  selfFailed: ['selfFailed'],
};

/** What is so until the next step: since when the coils are certain, and when anything was last heard. */
export interface Between {
  readonly offSinceMs: readonly (Ms | null)[];
  readonly commanded: readonly boolean[];
  readonly lastMs: Ms;
}

export function situationOf(told: Told, between: Between, now: Ms): Situation {
  const inputs: PlantInputs = {
    calls: {
      cooling: told.call === 'cooling' || told.call === 'both',
      heating: told.call === 'heating' || told.call === 'both',
      fan: false,
    },
    airflow: told.airflow,
    serviceReset: told.reset,
    fire: told.fire,
    contactClosed: {},
    compressorRunning: between.commanded.map((on, circuit) => on || told.welded[circuit] === true),
  };
  return {
    sensors: [sensor('coil', told.coil, between, now), sensor('contact', told.contact, between, now)],
    plant: {
      heard: told.heard,
      silentSinceMs: told.heard ? null : between.lastMs,
      inputs,
      // A clock that runs was proven at the last step, and of another nobody asks.
      airflowProvenAtMs: told.heard && told.airflow ? now : between.lastMs,
      overwritten: false,
      untakenSinceMs: null,
      compressorOffSinceMs: between.offSinceMs,
    },
  };
}

function sensor(id: string, kind: Coil | Contact, between: Between, now: Ms): SensorSituation {
  const wellAtMs = { well: now, stale: between.lastMs } as Partial<Record<Coil | Contact, Ms>>;
  return {
    id,
    findings: FINDINGS[kind],
    gasNow: kind === 'gas' || kind === 'contradiction',
    passed: kind !== 'untested',
    wellAtMs: wellAtMs[kind] ?? null,
    gasPercentLfl: 0,
    silentSinceMs: kind === 'silent' ? between.lastMs : null,
  };
}

export function after(told: Told, between: Between, compressors: readonly boolean[], now: Ms): Between {
  return {
    commanded: compressors,
    lastMs: now,
    offSinceMs: compressors.map((on, circuit) =>
      on ? null : (between.offSinceMs[circuit] ?? (told.written ? now : null)),
    ),
  };
}

const COILS: readonly Coil[] = [
  ...(['well', 'stale', 'gas', 'lingering', 'contradiction', 'silent', 'selfFailed'] as const),
  'untested',
];
const BOTH = [true, false] as const;
const CALLS: readonly Call[] = ['none', 'cooling', 'heating'];

/**
 * Everything that a machine of one circuit can be told, every combination. Nothing of a silent field I/O is
 * news, though: its contact is silent, airflow is not proven, no button seen.
 */
export function everythingTold(): readonly Told[] {
  const all: Told[] = [];
  for (const coil of COILS)
    for (const fire of BOTH)
      for (const call of CALLS) {
        all.push({ ...CALM, coil, fire, call, ...UNHEARD });
        for (const contact of ['well', 'gas'] as const)
          for (const airflow of BOTH)
            for (const reset of BOTH) all.push({ ...CALM, coil, fire, call, contact, airflow, reset });
      }
  return all;
}

/**
 * The same without combinations that lead nowhere new: what each finding meets is tried with one call, the
 * calls with sensors that need nothing done. The long form of the test holds it to reaching the same states.
 */
export function theTellingPart(): readonly Told[] {
  return everythingTold().filter(({ coil, contact, call, reset, fire, heard }) => {
    const cooling = call === 'cooling';
    const plain = coil === 'well' || coil === 'untested';
    const few = plain || coil === 'gas' || coil === 'silent';
    if (!heard) return cooling && (!fire || (few && coil !== 'untested'));
    if (fire) return cooling && contact === 'well' && few && coil !== 'untested';
    if (contact === 'gas') return cooling && !reset && (plain || coil === 'lingering' || coil === 'silent');
    if (reset && !few && coil !== 'lingering') return false;
    return cooling || plain;
  });
}

const CALM: Told = {
  coil: 'well',
  contact: 'well',
  heard: true,
  airflow: true,
  call: 'cooling',
  reset: false,
  fire: false,
  welded: [false, false],
  written: true,
};
const UNHEARD = { contact: 'silent', heard: false, airflow: false, reset: false, written: false } as const;

/** All is well and cooling is called. */
export const MENDED = CALM;
export const PRESSED: Told = { ...CALM, reset: true };

/** For two circuits: the sensors as coarse as can be, the equipment as fine. */
export function equipmentTold(): readonly Told[] {
  const all: Told[] = [];
  // A rig without contacts: nothing but the field I/O itself says that it is silent.
  for (const coil of ['well', 'gas'] as const) all.push({ ...CALM, coil, ...UNHEARD, contact: 'well' });
  for (const coil of ['well', 'gas', 'silent', 'untested'] as const)
    for (const call of [...CALLS, 'both'] as const)
      for (const airflow of BOTH)
        for (const weldedA of BOTH)
          for (const written of BOTH)
            all.push({ ...CALM, coil, call, airflow, written, welded: [weldedA, false] });
  return all;
}
