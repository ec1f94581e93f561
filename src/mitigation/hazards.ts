/**
 * The hazard table: what can be wrong, what it asks for, who shows it, and what ends it.
 *
 * Rows stand in order of strength. The effects of all standing rows add up, so the strongest wins and a
 * weaker one is never lost (a welded compressor keeps the fan on while sensors are still starting).
 * Sources: mitigation at gas, and at a failed or silent sensor: UL 60335-2-40 Annex LL and GG,
 * ANSI/ASHRAE 15 7.6.2 (both from memory). Start, fan proof and feedback: common practice, no source.
 */
import type { Finding } from '../belief/index.ts';

export const EFFECTS = {
  /** Only told. */
  tell: { ventilate: false, stop: false, everythingOff: false },
  /** Fan on, and with it the zone dampers open. */
  ventilate: { ventilate: true, stop: false, everythingOff: false },
  /** Compressors and heat off. */
  stop: { ventilate: false, stop: true, everythingOff: false },
  /** The same, compressors and heat off. */
  mitigate: { ventilate: true, stop: true, everythingOff: false },
  /** Fan too: it would feed a fire. */
  allOff: { ventilate: false, stop: true, everythingOff: true },
} as const;

export type Effect = keyof typeof EFFECTS;

/**
 * `itself`: over when its condition is; `afterHold`: the hold must pass first; `powerUp`: then as after
 * one.
 */
type Clears = 'itself' | 'afterHold' | 'powerUp';

interface Row {
  /** What it is called once it is over. */
  readonly title: string;
  readonly effect: Effect;
  readonly shows: 'alarm' | 'trouble' | 'nothing';
  readonly clears: Clears;
}

export const HAZARDS = {
  fire: { title: 'fire', effect: 'allOff', shows: 'alarm', clears: 'powerUp' },
  gas: { title: 'gas', effect: 'mitigate', shows: 'alarm', clears: 'afterHold' },
  contradiction: {
    title: 'a number against its own state',
    effect: 'mitigate',
    shows: 'alarm',
    clears: 'afterHold',
  },
  silent: { title: 'silence', effect: 'mitigate', shows: 'trouble', clears: 'afterHold' },
  selfFailed: { title: 'its failure', effect: 'mitigate', shows: 'trouble', clears: 'afterHold' },
  frozen: { title: 'a counter that stands still', effect: 'mitigate', shows: 'trouble', clears: 'afterHold' },
  invalid: { title: 'no valid reading', effect: 'mitigate', shows: 'trouble', clears: 'afterHold' },
  stranger: { title: 'a strange serial', effect: 'mitigate', shows: 'trouble', clears: 'afterHold' },
  repeatedTrips: { title: 'the lock-out', effect: 'mitigate', shows: 'trouble', clears: 'itself' },
  fieldIoSilent: { title: 'silence', effect: 'mitigate', shows: 'trouble', clears: 'itself' },
  fanNotProven: { title: 'missing airflow', effect: 'stop', shows: 'trouble', clears: 'itself' },
  notSelfTested: { title: 'waiting for its self-test', effect: 'stop', shows: 'nothing', clears: 'itself' },
  compressorAgainstCommand: {
    title: 'running against its command',
    effect: 'ventilate',
    shows: 'trouble',
    clears: 'itself',
  },
  /** Two who command one rig switch its compressors on and off by turns: whoever finds out stops at once. */
  commandsOverwritten: {
    title: 'commands of somebody else',
    effect: 'mitigate',
    shows: 'trouble',
    clears: 'itself',
  },
  /** What that leads to shows in airflow and in compressors that run, each with a row of its own. */
  commandsNotTaken: {
    title: 'commands not taken',
    effect: 'tell',
    shows: 'trouble',
    clears: 'itself',
  },
  airflowWithoutFan: {
    title: 'airflow without a command',
    effect: 'tell',
    shows: 'trouble',
    clears: 'itself',
  },
} as const satisfies Readonly<Record<string, Row>> & Readonly<Record<Finding, Row>>;

export type Hazard = keyof typeof HAZARDS;

/** Its mitigation goes on through the hold, and the hold begins anew with every moment of it. */
export function endsAfterHold(hazard: Hazard): boolean {
  const row: Row = HAZARDS[hazard];
  return row.clears === 'afterHold';
}

/** A hazard that stands now, and on what: a sensor, a circuit, `fan`, `fieldIo` or `rig`. */
export interface Standing {
  readonly hazard: Hazard;
  readonly subject: string;
}
