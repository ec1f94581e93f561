/**
 * The spans of time a random drill is made of: round ones, and every limit of the rig with one poll before
 * and after it, since that is where controllers break.
 */
import type { Rig } from '../../src/rig/index.ts';
import { parseQuantity } from '../../src/units/index.ts';

const S = 1000;
const MINUTE = 60 * S;
const ROUND = [0, 30 * S, MINUTE, 2 * MINUTE, 5 * MINUTE, 10 * MINUTE];
/** The rounder a span, the earlier it stands: shrinking goes to the front. */
const GRAINS = [MINUTE, 30 * S, 10 * S, 5 * S, S, 100];

/** In ms, the roundest first, and of those the shortest. */
export function spansOf(rig: Rig): readonly number[] {
  const pollMs = Math.max(...rig.lines.map(({ pollEveryMs }) => pollEveryMs));
  const around = limitsOf(rig).flatMap((limit) => [-2, -1, 0, 1, 2].map((polls) => limit + polls * pollMs));
  const spans = new Set([...ROUND, ...around].filter((span) => span >= 0));
  return [...spans].sort((one, other) => grainOf(one) - grainOf(other) || one - other);
}

/** Every limit of the policy, and the sums of them that a mitigation goes through. */
function limitsOf({ policy, fieldIo }: Rig): readonly number[] {
  const { holdMs, silentAfterMs, askWithinMs, respondWithinMs, fanProofWithinMs } = policy;
  const { compressorMinOffMs, resumeWithinMs } = policy;
  return [
    ...[silentAfterMs, askWithinMs, respondWithinMs, fanProofWithinMs, fieldIo.watchdogMs],
    ...[silentAfterMs + respondWithinMs, fanProofWithinMs + respondWithinMs],
    ...[compressorMinOffMs, holdMs, holdMs + respondWithinMs, holdMs + resumeWithinMs],
  ];
}

/** How coarse the grain is on which it lies: 0 for whole minutes. */
export function grainOf(span: number): number {
  const found = GRAINS.findIndex((grain) => span % grain === 0);
  return found < 0 ? GRAINS.length : found;
}

/** "90 s", "5 min": as a drill file writes it. */
export function spanText(span: number): string {
  if (span > 0 && span % MINUTE === 0) return `${span / MINUTE} min`;
  return span % S === 0 ? `${span / S} s` : `${span} ms`;
}

/** What `spanText` wrote, in ms. */
export function spanOf(text: string): number {
  const span = parseQuantity(text, 'time');
  if (typeof span !== 'number') throw new RangeError(`${text}: ${span.problem}`);
  return span;
}
