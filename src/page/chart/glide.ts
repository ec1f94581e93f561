/**
 * Moves what stands on the time along with the window. A window that follows now is told a few times a
 * second where it is; between, the browser's compositor glides there by itself, so that the movement is
 * even however busy the page is. All that is shown is late by the length of one glide.
 */

/** Longer than the pause between two tellings of the time, so that no glide ends before the next begins. */
const GLIDE_MS = 320;

export interface Glider {
  /** `pxAt` says where the element stands when the window begins at a moment. */
  move(fromMs: number, pxAt: (fromMs: number) => number, smoothly: boolean): void;
}

export function createGlider(element: HTMLElement | SVGElement): Glider {
  let [beganMs, endsMs, startedAt] = [0, 0, Number.NEGATIVE_INFINITY];
  let set = '';
  let running: Animation | null = null;
  const shownMs = (): number =>
    beganMs + (endsMs - beganMs) * Math.min(1, (performance.now() - startedAt) / GLIDE_MS);
  return {
    move: (fromMs, pxAt, smoothly) => {
      const here = smoothly ? shownMs() : fromMs;
      const [before, after] = [transformTo(pxAt(here)), transformTo(pxAt(fromMs))];
      [beganMs, endsMs, startedAt] = [here, fromMs, performance.now()];
      running?.cancel();
      running = null;
      if (after !== set) element.style.transform = after;
      set = after;
      if (before === after) return;
      running = element.animate([{ transform: before }, { transform: after }], GLIDE_MS);
    },
  };
}

/** Between two of the screen's own points everything would be blurred. */
function transformTo(px: number): string {
  return `translate3d(${Math.round(px * devicePixelRatio) / devicePixelRatio}px, 0, 0)`;
}
