/**
 * Dead time: everything that happens to an element reaches it so much later.
 *
 * What an element shows at t is then, exactly, what an element without dead time showed at t - deadTime. So
 * the element lives in the past: what is done to it waits its turn here, and it is read at the moment that
 * has come through. Waiting is bounded by what can happen within one dead time, since whoever does something
 * more lets in what is due first.
 */
import type { Ms } from '../../src/units/index.ts';

export interface Late<Element> {
  readonly element: Element;
  readonly deadTimeMs: Ms;
  /** Before this moment nothing was. */
  readonly startMs: Ms;
  /** In order of time. */
  readonly waiting: { readonly atMs: Ms; readonly act: (element: Element) => void }[];
}

export function startLate<Element>(element: Element, deadTimeMs: Ms, startMs: Ms): Late<Element> {
  return { element, deadTimeMs, startMs, waiting: [] };
}

/** Something happens at `now`, of which the element learns a dead time later. */
export function happen<Element>(late: Late<Element>, now: Ms, act: (element: Element) => void): void {
  if (late.deadTimeMs === 0) {
    act(late.element);
    return;
  }
  arrivedBy(late, now);
  late.waiting.push({ atMs: now, act });
}

/** Lets in what has come through by `now`, and says at which moment the element is then to be read. */
export function arrivedBy<Element>({ element, deadTimeMs, startMs, waiting }: Late<Element>, now: Ms): Ms {
  if (deadTimeMs === 0) return now;
  const shownMs = Math.max(startMs, now - deadTimeMs) as Ms;
  for (let next = waiting[0]; next !== undefined && next.atMs <= shownMs; next = waiting[0]) {
    waiting.shift();
    next.act(element);
  }
  return shownMs;
}
