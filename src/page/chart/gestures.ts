/**
 * What hands do to the plot: drag, pinch, wheel with Ctrl, keys. The wheel alone and a finger up or down
 * scroll the page, as everywhere else.
 */
import { placeOf, type Timeline } from './timeline.ts';
import { panned } from './view.ts';

/** A hand that rests moves a little; more than this is meant. */
const DRAG_PX_MIN = 4;
const KEY_ZOOM = 1.5;
const KEY_PAN = 0.1;
/** A notch of a wheel is 100 or so. */
const WHEEL_ZOOM = 0.004;

type Act = (timeline: Timeline, far: boolean) => void;

const widthOf = ({ plotWidth }: Timeline): number => plotWidth.peek();

const KEYS: Readonly<Record<string, Act>> = {
  ArrowLeft: (timeline, far) => {
    timeline.pan(-widthOf(timeline) * (far ? 1 : KEY_PAN));
  },
  ArrowRight: (timeline, far) => {
    timeline.pan(widthOf(timeline) * (far ? 1 : KEY_PAN));
  },
  '+': closer,
  '=': closer,
  '-': wider,
  Home: toFirst,
  End: toNow,
  Escape: ({ chosenMs }) => {
    chosenMs.value = null;
  },
};

export function closer(timeline: Timeline): void {
  timeline.zoom(1 / KEY_ZOOM, middle(timeline));
}

export function wider(timeline: Timeline): void {
  timeline.zoom(KEY_ZOOM, middle(timeline));
}

/** A window that follows now goes on following it. */
function middle({ following, plotWidth }: Timeline): number | undefined {
  return following.peek() ? undefined : plotWidth.peek() / 2;
}

export function earlier(timeline: Timeline): void {
  timeline.pan(-widthOf(timeline) / 2);
}

export function later(timeline: Timeline): void {
  timeline.pan(widthOf(timeline) / 2);
}

export function toFirst(timeline: Timeline): void {
  timeline.set((view, extent) => panned(view, extent, Number.NEGATIVE_INFINITY));
}

export function toNow(timeline: Timeline): void {
  timeline.set((view) => ({ ...view, toMs: null }));
}

/** Attends to an element; gives back what ends it. */
export function attend(element: HTMLElement, timeline: Timeline): () => void {
  const off = new AbortController();
  const { signal } = off;
  attendPointers(element, timeline, signal);
  element.addEventListener(
    'keydown',
    (event) => {
      const act = event.altKey || event.ctrlKey || event.metaKey ? undefined : KEYS[event.key];
      if (act === undefined) return;
      event.preventDefault();
      act(timeline, event.shiftKey);
    },
    { signal },
  );
  element.addEventListener(
    'wheel',
    (event) => {
      const sideways = Math.abs(event.deltaX) > Math.abs(event.deltaY);
      if (!event.ctrlKey && !sideways) return;
      event.preventDefault();
      if (event.ctrlKey) timeline.zoom(Math.exp(event.deltaY * WHEEL_ZOOM), placeIn(element, event));
      else timeline.pan(event.deltaX);
    },
    { signal, passive: false },
  );
  return () => {
    off.abort();
  };
}

/** How far from an element's left edge a pointer is, in px. */
export function placeIn(element: Element, { clientX }: { readonly clientX: number }): number {
  return clientX - element.getBoundingClientRect().left;
}

function attendPointers(element: HTMLElement, timeline: Timeline, signal: AbortSignal): void {
  const places = new Map<number, number>();
  let movedPx = 0;
  element.addEventListener(
    'pointerdown',
    (event) => {
      if (event.button !== 0) return;
      if (places.size === 0) movedPx = 0;
      places.set(event.pointerId, placeIn(element, event));
      element.setPointerCapture(event.pointerId);
    },
    { signal },
  );
  element.addEventListener(
    'pointermove',
    (event) => {
      const place = placeIn(element, event);
      const before = places.get(event.pointerId);
      if (before === undefined) {
        if (event.pointerType === 'mouse') timeline.pointerX.value = placeOf(timeline, place);
        return;
      }
      const others = [...places].filter(([id]) => id !== event.pointerId).map(([, one]) => one);
      places.set(event.pointerId, place);
      movedPx += Math.abs(place - before);
      if (movedPx < DRAG_PX_MIN) return;
      timeline.pointerX.value = null;
      if (others[0] === undefined) timeline.pan(before - place);
      else pinch(timeline, others[0], before, place);
    },
    { signal },
  );
  const lift = (event: PointerEvent): void => {
    if (!places.delete(event.pointerId) || event.type === 'pointercancel' || movedPx >= DRAG_PX_MIN) return;
    timeline.chosenMs.value =
      timeline.fromMs.peek() + placeOf(timeline, placeIn(element, event)) * timeline.columnMs.peek();
  };
  element.addEventListener('pointerup', lift, { signal });
  element.addEventListener('pointercancel', lift, { signal });
  element.addEventListener(
    'pointerleave',
    () => {
      timeline.pointerX.value = null;
    },
    { signal },
  );
}

/** Fingers nearer than this to each other tell no ratio. */
const PINCH_PX_MIN = 20;

/** What is under the resting finger stays there. */
function pinch(timeline: Timeline, resting: number, before: number, after: number): void {
  const [was, is] = [Math.abs(before - resting), Math.abs(after - resting)];
  if (was >= PINCH_PX_MIN && is >= PINCH_PX_MIN) timeline.zoom(was / is, resting);
}
