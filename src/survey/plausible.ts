/**
 * Whether the values that a profile reads out of somebody's registers can be those of a gas sensor.
 *
 * The bounds are wide on purpose: a sound sensor in any state must pass. They are ours (common practice, no
 * source) but for pure vapour, which no volume share can pass.
 */
import { PERCENT_LFL_LEAST, type PointName, type Profile, type SensorAnswer } from '../sensor/index.ts';

export interface Likeness {
  readonly plausible: boolean;
  /**
   * How much speaks for the profile beyond numbers that happen to be in range: a known state word, texts. 0
   * for a profile that has neither.
   */
  readonly evidence: number;
  /** What spoke against it first, as a clause; empty where nothing did. */
  readonly against: string;
}

/** Smallest and largest value of each number. */
const BOUNDS: Readonly<Partial<Record<PointName, readonly [number, number]>>> = {
  // Pure vapour of the A2L with the lowest limit, 6 %vol, is 1667 %LFL; what is far below zero is no number.
  gasPercentLfl: [PERCENT_LFL_LEAST, 1700],
  gasPercentVol: [-2, 100.5],
  setpointPercentLfl: [0.1, 100],
  temperatureC: [-60, 150],
  hours: [0, 1_000_000],
  serviceDaysLeft: [0, 36_525],
};

const PRINTABLE = /^[ -~]*$/u;

export function isPrintable(text: string): boolean {
  return PRINTABLE.test(text);
}

export function likeness(profile: Profile, answer: SensorAnswer): Likeness {
  let evidence = 0;
  for (const name of Object.keys(profile.points) as PointName[]) {
    const against = objection(name, answer);
    if (against !== null) return { plausible: false, evidence: 0, against };
    const told = answer[name];
    if (name === 'state' || (typeof told === 'string' && told !== '')) evidence += 1;
  }
  return { plausible: true, evidence, against: '' };
}

function objection(name: PointName, answer: SensorAnswer): string | null {
  const value = answer[name];
  if (name === 'state') return value === undefined ? 'its state word is none of the known ones' : null;
  if (typeof value === 'string') return isPrintable(value) ? null : `its ${name} is no text`;
  const bounds = BOUNDS[name];
  if (bounds === undefined || typeof value !== 'number') return null;
  const [min, max] = bounds;
  return value >= min && value <= max ? null : `its ${name} would be ${value}`;
}
