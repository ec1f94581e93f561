/** Published limits that a rig's settings are held against; a rig may go past them, with a warning. */
import { formatDuration } from '../units/index.ts';
import type { Rig } from './rig.ts';

const SETPOINT_MAX_PERCENT_LFL = 25;
/** 25 %LFL written in another unit may come back a rounding error higher. */
const CONVERSION_DUST = 1e-9;

interface Limit {
  /** Path of the setting in the rig file. */
  readonly path: readonly string[];
  readonly exceeds: (rig: Rig) => boolean;
  readonly says: (rig: Rig) => string;
  readonly source: string;
}

/** Sources: "seen" was read in the text itself; "memory" is to be confirmed against a bought copy. */
export const PUBLISHED_LIMITS: readonly Limit[] = [
  {
    path: ['policy', 'setpoint'],
    exceeds: (rig) => rig.policy.setpoint > SETPOINT_MAX_PERCENT_LFL + CONVERSION_DUST,
    says: (rig) => `${Number(rig.policy.setpoint.toFixed(3))} %LFL is above the published 25 %LFL`,
    source: 'RD 552/2019 IF-16 3.1.4 (seen); IEC 60335-2-40 Annex LL (second hand)',
  },
  {
    path: ['policy', 'hold'],
    exceeds: (rig) => rig.policy.holdMs < 300_000,
    says: (rig) => `${formatDuration(rig.policy.holdMs)} is under the published 5 min`,
    source: 'ANSI/ASHRAE 15 7.6.2.4; UL 60335-2-40 Annex GG (memory)',
  },
  {
    path: ['policy', 'respondWithin'],
    exceeds: (rig) => rig.policy.respondWithinMs > 15_000,
    says: (rig) => `${formatDuration(rig.policy.respondWithinMs)} is slower than the published 15 s`,
    source: 'ANSI/ASHRAE 15 7.6.2 (memory; 15 s second hand)',
  },
  {
    path: ['policy', 'fanProofWithin'],
    exceeds: (rig) => rig.policy.fanProofWithinMs > 10_000,
    says: (rig) => `${formatDuration(rig.policy.fanProofWithinMs)} is slower than the published 10 s`,
    source: 'RD 552/2019 IF-04 3.3.3 (seen; stated for ventilated enclosures)',
  },
];

export const SETPOINT_SOURCE =
  'the rig’s own choice; published limit 25 %LFL, RD 552/2019 IF-16 3.1.4 (seen)';
