/**
 * A stretch of time in which the air stays in one mode, and the search along it.
 *
 * With several zones a concentration may rise and fall more than once, so the search walks: from each stop
 * as far ahead as surely nothing can have come about (reach.ts), by leaps of 2^k ms with remembered steps.
 * The walk gets short only near what is looked for; there two stops are narrowed down to the millisecond.
 */
import type { Mode } from './mode.ts';
import { ratesOf, reachS, type Watch, watched } from './reach.ts';
import { type AirState, applyStep, leapAfter } from './step.ts';

export interface Stretch {
  readonly mode: Mode;
  readonly start: Readonly<AirState>;
  /** Whole ms. */
  readonly spanMs: number;
}

/** A moment of the stretch. */
export interface Stop {
  readonly offsetMs: number;
  readonly state: Readonly<AirState>;
}

const MS_PER_S = 1000;

/** The state a whole number of ms into the stretch. */
export function stateAfter({ mode, start }: Omit<Stretch, 'spanMs'>, offsetMs: number): AirState {
  const state = start.slice();
  let left = offsetMs;
  for (let leapMs = 1; left > 0; leapMs *= 2) {
    if (left % 2 === 1) applyStep(leapAfter(mode.outdoors, leapMs), state);
    left = Math.floor(left / 2);
  }
  return state;
}

/**
 * The first whole ms of the stretch (0 to spanMs) at which any of what is watched is outside, or undefined.
 * An excursion that begins and ends between two neighbouring ms goes unseen.
 */
export function firstOutside({ mode, start, spanMs }: Stretch, watches: readonly Watch[]): Stop | undefined {
  const isSo = (one: Readonly<AirState>): boolean => isOutside(watches, one);
  if (isSo(start)) return { offsetMs: 0, state: start };
  const [state, before] = [start.slice(), start.slice()];
  const rates = ratesOf(mode, start);
  let offsetMs = 0;
  while (offsetMs < spanMs) {
    const reach = watches.reduce(
      (least, each) => Math.min(least, reachS(mode, each, state, rates)),
      Infinity,
    );
    const surelyMs = Math.min(MS_PER_S * reach, spanMs - offsetMs);
    const leapMs = 2 ** Math.floor(Math.log2(Math.max(1, surelyMs)));
    const step = leapAfter(mode.outdoors, leapMs);
    before.set(state);
    applyStep(step, state);
    applyStep(step, rates);
    if (isSo(state)) {
      const [from, to] = [
        { offsetMs, state: before },
        { offsetMs: offsetMs + leapMs, state },
      ];
      return narrow(mode, [from, to], isSo, 1)[1];
    }
    offsetMs += leapMs;
  }
  return undefined;
}

export function isOutside(watches: readonly Watch[], state: Readonly<AirState>): boolean {
  return watches.some((watch) => watch.outside(watched(watch, state)));
}

/**
 * Narrows two stops, between which something comes about once, down to two that are grainMs apart (a power
 * of two): it is not so yet at the first, and is so at the second.
 */
export function narrow(
  mode: Mode,
  [from, to]: readonly [Stop, Stop],
  isSo: (state: Readonly<AirState>) => boolean,
  grainMs: number,
): readonly [Stop, Stop] {
  let [last, next] = [from, to];
  const widest = 2 ** Math.floor(Math.log2(to.offsetMs - from.offsetMs));
  for (let leapMs = widest; leapMs >= grainMs; leapMs /= 2) {
    const offsetMs = last.offsetMs + leapMs;
    if (offsetMs >= next.offsetMs) continue;
    const state = last.state.slice();
    applyStep(leapAfter(mode.outdoors, leapMs), state);
    if (isSo(state)) next = { offsetMs, state };
    else last = { offsetMs, state };
  }
  return [last, next];
}
