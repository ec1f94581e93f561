/**
 * A stretch of time in which the air stays in one mode, and the search along it.
 *
 * A zone's rate of change is a sum of two exponentials with real exponents (the exchange is symmetric), so
 * it changes sign once at most: between that turn and the ends of the stretch the concentration only rises
 * or only falls. There a crossing is found by leaps of 2^k ms with remembered steps, from the longest leap
 * down: some thirty small products for a month, and nothing is sampled.
 */
import type { Mode, Zone } from './mode.ts';
import { type AirState, applyStep, leapAfter, type Releases } from './step.ts';

export interface Stretch {
  readonly mode: Mode;
  readonly releases: Releases;
  readonly start: Readonly<AirState>;
  /** Whole ms. */
  readonly spanMs: number;
}

/** A moment of the stretch. */
export interface Stop {
  readonly offsetMs: number;
  readonly state: Readonly<AirState>;
}

/** The state a whole number of ms into the stretch. */
export function stateAfter(stretch: Omit<Stretch, 'spanMs'>, offsetMs: number): AirState {
  const state = { ...stretch.start };
  let left = offsetMs;
  for (let leapMs = 1; left > 0; leapMs *= 2) {
    if (left % 2 === 1) applyStep(leapAfter(stretch.mode.outdoors, leapMs), state, stretch.releases);
    left = Math.floor(left / 2);
  }
  return state;
}

/**
 * The first whole ms of the stretch (0 to spanMs) at which the zone's concentration is outside, or
 * undefined. The concentrations inside must form one interval. An excursion that begins and ends between
 * two neighbouring ms goes unseen.
 */
export function firstOutside(
  stretch: Stretch,
  zone: Zone,
  outside: (kgPerM3: number) => boolean,
): Stop | undefined {
  let from: Stop = { offsetMs: 0, state: stretch.start };
  if (outside(from.state[zone])) return from;
  const end = { offsetMs: stretch.spanMs, state: stateAfter(stretch, stretch.spanMs) };
  for (const stop of [...turn(stretch, zone, end), end]) {
    if (outside(stop.state[zone])) {
      const [, first] = narrow(stretch, [from, stop], (state) => outside(state[zone]), 1);
      return first;
    }
    from = stop;
  }
  return undefined;
}

/** The two neighbouring ms between which the zone turns, if it does before the end. */
function turn(stretch: Stretch, zone: Zone, end: Stop): readonly Stop[] {
  const signAt = (state: Readonly<AirState>): number => Math.sign(rate(stretch, zone, state));
  const sign = signAt(stretch.start);
  if (sign * signAt(end.state) >= 0) return [];
  const start = { offsetMs: 0, state: stretch.start };
  return narrow(stretch, [start, end], (state) => sign * signAt(state) < 0, 1);
}

function rate({ mode, releases }: Stretch, zone: Zone, { cabinet, room }: Readonly<AirState>): number {
  const [byCabinet, byRoom, , byCabinetRelease, byRoomRelease] = mode.rows[zone];
  return (
    byCabinet * cabinet +
    byRoom * room +
    byCabinetRelease * releases.cabinetKgPerS +
    byRoomRelease * releases.roomKgPerS
  );
}

/**
 * Narrows two stops, between which something comes about once, down to two that are grainMs apart (a power
 * of two): it is not so yet at the first, and is so at the second.
 */
export function narrow(
  stretch: Omit<Stretch, 'start' | 'spanMs'>,
  [from, to]: readonly [Stop, Stop],
  isSo: (state: Readonly<AirState>) => boolean,
  grainMs: number,
): readonly [Stop, Stop] {
  let [last, next] = [from, to];
  const widest = 2 ** Math.floor(Math.log2(to.offsetMs - from.offsetMs));
  for (let leapMs = widest; leapMs >= grainMs; leapMs /= 2) {
    const offsetMs = last.offsetMs + leapMs;
    if (offsetMs >= next.offsetMs) continue;
    const state = { ...last.state };
    applyStep(leapAfter(stretch.mode.outdoors, leapMs), state, stretch.releases);
    if (isSo(state)) next = { offsetMs, state };
    else last = { offsetMs, state };
  }
  return [last, next];
}
