/** A release as written becomes a step; through a hole, it is worked out for the refrigerant of the rig. */
import type { Place, Rig } from '../../src/rig/index.ts';
import { chokedAbovePa, emptyingBy, type Fall, fallOfHole, type PumpDown } from '../gas/index.ts';
import type { ReleaseFile } from './step-schema.ts';

export interface ReleaseStep {
  readonly kind: 'release';
  readonly at: Place;
  /** As it begins, were the charge whole. */
  readonly rateKgPerS: number;
  /** null until the charge is gone. */
  readonly lastsMs: number | null;
  /** A rate that falls with what is left; left out, it stays as it begins. */
  readonly falls?: Fall;
  readonly pumpDown?: PumpDown;
}

type HoleFile = Extract<ReleaseFile, { hole: number }>;

const MS_PER_S = 1000;
const PA_PER_BAR = 100_000;
/** Room for vapour in the circuit once the liquid is gone: a choice of ours, no source. */
const VAPOUR_SPACE_M3 = 0.01;

/** The step, or what is wrong with the pressure behind its hole. */
export function releaseStep(release: ReleaseFile, rig: Rig): ReleaseStep | string {
  const { at, pumpDown } = release;
  const extra = pumpDown === undefined ? {} : { pumpDown: pumpDownOf(pumpDown) };
  const head = { kind: 'release', at, ...extra } as const;
  if ('rate' in release) return { ...head, rateKgPerS: release.rate, lastsMs: release.lasts ?? null };
  if ('emptiesIn' in release) {
    const rateKgPerS = release.kg / (release.emptiesIn / MS_PER_S);
    return { ...head, rateKgPerS, lastsMs: release.emptiesIn };
  }
  const falls = 'halfLife' in release ? emptyingBy(release.kg, release.halfLife) : throughHole(release, rig);
  if (typeof falls === 'string') return falls;
  return { ...head, rateKgPerS: falls.rateKgPerS, lastsMs: null, falls };
}

function throughHole(release: HoleFile, rig: Rig): Fall | string {
  const { hole, pressure, vapourSpace = VAPOUR_SPACE_M3 } = release;
  const least = chokedAbovePa();
  if (pressure >= least) {
    const { molarMassGPerMol } = rig.refrigerant;
    return fallOfHole({ holeM: hole, pressurePa: pressure, volumeM3: vapourSpace, molarMassGPerMol });
  }
  const bar = (Math.ceil((10 * least) / PA_PER_BAR) / 10).toFixed(1);
  return `takes ${bar} bar or more, absolute; below that vapour leaves a hole slower than sound, which is not modelled`;
}

function pumpDownOf({ after, leaves }: NonNullable<ReleaseFile['pumpDown']>): PumpDown {
  return { afterMs: after, share: leaves };
}
