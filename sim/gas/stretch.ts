/**
 * A stretch of time in which the air stays in one mode, and the search along it.
 *
 * A zone's rate of change is a sum of two exponentials with real exponents (the exchange is symmetric),
 *
 *     C'(t) = p e^(-slow t) + q e^(-fast t),
 *
 * so it changes sign once at most, and does where p and p + q differ in sign. Between that turn and the ends
 * of the stretch the concentration only rises or only falls. There a crossing is found by leaps of 2^k ms
 * with remembered steps, from the longest leap down: thirty small products for a month, and no sampling.
 */
import type { Mode, Zone } from './mode.ts';
import { type AirState, applyStep, leapAfter, type Releases, type Row } from './step.ts';

export interface Stretch {
  readonly mode: Mode;
  readonly releases: Releases;
  readonly start: Readonly<AirState>;
  /** Whole ms. */
  readonly spanMs: number;
}

const MS_PER_S = 1000;
const NO_RELEASE: Releases = { cabinetKgPerS: 0, roomKgPerS: 0 };

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
  for (const stop of [...turn(stretch, zone), end]) {
    if (outside(stop.state[zone])) {
      const [, first] = narrow(stretch, [from, stop], (state) => outside(state[zone]), 1);
      return first;
    }
    from = stop;
  }
  return undefined;
}

/**
 * The two neighbouring ms between which the zone turns, if it does before the end. Worked out from the start:
 * far ahead, where the air has come to rest, a rate of change is nothing but rounding.
 */
function turn(stretch: Stretch, zone: Zone): readonly Stop[] {
  const { rows, fastPerS, gapPerS } = stretch.mode;
  const rate = {
    cabinet: change(rows.cabinet, stretch.start, stretch.releases),
    room: change(rows.room, stretch.start, stretch.releases),
  };
  // The slow part of the rate: (A + fast I) / (fast - slow) takes out all that decays fast.
  const slow = (change(rows[zone], rate, NO_RELEASE) + fastPerS * rate[zone]) / gapPerS;
  if (!(slow * rate[zone] < 0)) return [];
  const turnMs = (MS_PER_S * Math.log1p(-rate[zone] / slow)) / gapPerS;
  const offsetMs = Math.floor(turnMs);
  if (offsetMs >= stretch.spanMs) return [];
  return [offsetMs, offsetMs + 1].map((at) => ({ offsetMs: at, state: stateAfter(stretch, at) }));
}

/** What a row of the mode makes of the zones and the releases, per second. */
function change(row: Row, { cabinet, room }: Omit<AirState, 'rider'>, releases: Releases): number {
  const [byCabinet, byRoom, , byCabinetRelease, byRoomRelease] = row;
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
