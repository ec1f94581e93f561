/**
 * What the supervisor holds true of the equipment: the field I/O's inputs as last heard, and for how long
 * it has not answered. Contacts hang on these inputs, so a silent field I/O is a silent contact too.
 */
import type { Timed } from '../poll/index.ts';
import type { Ms } from '../units/index.ts';
import type { Finding } from './sensor-belief.ts';
import { type SilenceLimits, silentAtMs } from './silence.ts';

export interface PlantInputs {
  readonly calls: { readonly cooling: boolean; readonly heating: boolean; readonly fan: boolean };
  readonly airflow: boolean;
  readonly serviceReset: boolean;
  readonly fire: boolean;
  /** As each contact stands, by discrete input. */
  readonly contactClosed: Readonly<Record<number, boolean>>;
  /** By circuit, in the rig's order. */
  readonly compressorRunning: readonly boolean[];
}

export interface PlantBelief {
  readonly last: { readonly atMs: Ms; readonly inputs: PlantInputs } | null;
  readonly unansweredSinceMs: Ms | null;
  /** When the inputs last said airflow; null before the first time. */
  readonly airflowProvenAtMs: Ms | null;
}

export const PLANT_UNHEARD: PlantBelief = { last: null, unansweredSinceMs: null, airflowProvenAtMs: null };

export function foldInputs(belief: PlantBelief, poll: Timed<PlantInputs>): PlantBelief {
  if (poll.outcome.kind === 'answered') {
    const { askedAtMs: atMs, outcome } = poll;
    const airflowProvenAtMs = outcome.answer.airflow ? atMs : belief.airflowProvenAtMs;
    return { last: { atMs, inputs: outcome.answer }, unansweredSinceMs: null, airflowProvenAtMs };
  }
  return belief.unansweredSinceMs === null ? { ...belief, unansweredSinceMs: poll.askedAtMs } : belief;
}

export function isPlantSilent(belief: PlantBelief, limits: SilenceLimits, now: Ms): boolean {
  return now >= plantSilentAtMs(belief, limits);
}

export function plantSilentAtMs(belief: PlantBelief, limits: SilenceLimits): number {
  return silentAtMs(belief.unansweredSinceMs, belief.last?.atMs ?? null, limits);
}

/** A contact's findings: gas as it stands against its wiring, silent with the field I/O it hangs on. */
export function contactFindings(
  belief: PlantBelief,
  contact: { readonly input: number; readonly contact: 'opens-on-gas' | 'closes-on-gas' },
  limits: SilenceLimits,
  now: Ms,
): readonly Finding[] {
  const silent = isPlantSilent(belief, limits, now);
  if (belief.last === null) return silent ? SILENT : NONE;
  const closed = belief.last.inputs.contactClosed[contact.input] === true;
  const gas = closed === (contact.contact === 'closes-on-gas');
  if (gas) return silent ? GAS_SILENT : GAS;
  return silent ? SILENT : NONE;
}

const NONE: readonly Finding[] = [];
const GAS: readonly Finding[] = ['gas'];
const SILENT: readonly Finding[] = ['silent'];
const GAS_SILENT: readonly Finding[] = ['gas', 'silent'];
