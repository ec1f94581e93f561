/** What the timeline of a running bench holds as signals: its window, its width, the moment pointed at. */
import { batch, computed, type ReadonlySignal, type Signal, signal } from '@preact/signals';
import type { History } from '../data/history.ts';
import type { Store } from '../data/store.ts';
import { slowly } from './slowly.ts';
import { centredOn, clamped, type Extent, panned, type View, viewSince, windowOf, zoomed } from './view.ts';

/** Width of what is drawn in one piece, in px. */
export const TILE_PX = 128;
/** On both sides of the window, so that a small step finds its curves drawn. */
const TILES_BESIDE = 1;

export interface Timeline {
  /** In px; 0 until it is known. */
  readonly plotWidth: Signal<number>;
  readonly history: ReadonlySignal<History>;
  readonly extent: ReadonlySignal<Extent>;
  readonly fromMs: ReadonlySignal<number>;
  readonly toMs: ReadonlySignal<number>;
  readonly spanMs: ReadonlySignal<number>;
  readonly showsAll: ReadonlySignal<boolean>;
  readonly following: ReadonlySignal<boolean>;
  /** Whether it moves by itself, and may be seen to. */
  readonly gliding: ReadonlySignal<boolean>;
  readonly columnMs: ReadonlySignal<number>;
  /** Number of the first tile that is drawn, counted from the bench's zero. */
  readonly firstTile: ReadonlySignal<number>;
  readonly tileCount: ReadonlySignal<number>;
  /** Where the pointer is over the plot, in px; it stays there while time moves on beneath it. */
  readonly pointerX: Signal<number | null>;
  /** A moment that was chosen; null while it is now. */
  readonly chosenMs: Signal<number | null>;
  /** The moment to read; null is now, or the end of the window. */
  readonly cursorMs: ReadonlySignal<number | null>;
  readonly set: (change: (view: View, extent: Extent) => View) => void;
  readonly pan: (px: number) => void;
  readonly zoom: (factor: number, atPx?: number) => void;
  /** Chooses a moment and brings it into sight. */
  readonly goTo: (atMs: number) => void;
  readonly stop: () => void;
}

const FIRST_SPAN_MS = 600_000;
/** What is drawn glides behind by more than this: nothing comes too late. */
const HISTORY_GAP_MS = 240;

export function createTimeline({
  shown,
  history: all,
  opensSinceMs,
}: Pick<Store, 'shown' | 'history' | 'opensSinceMs'>): Timeline {
  const { signal: history, stop } = slowly(all, HISTORY_GAP_MS);
  const plotWidth = signal(0);
  const firstMs = computed(() => history.value.beganAtMs ?? 0);
  const extent = computed<Extent>(() => ({ firstMs: firstMs.value, nowMs: shown.benchNowMs.value }));
  const sinceMs = opensSinceMs.peek();
  const view = signal<View>(
    sinceMs === null ? { spanMs: FIRST_SPAN_MS, toMs: null } : viewSince(sinceMs, extent.peek()),
  );
  const window = computed(() => windowOf(view.value, extent.value));
  const fromMs = computed(() => window.value.fromMs);
  const toMs = computed(() => window.value.toMs);
  // Rounded, since an end less a beginning that both move gives not quite the same length each time.
  const spanMs = computed(() => Math.round(window.value.toMs - window.value.fromMs));
  const columnMs = computed(() => spanMs.value / Math.max(1, plotWidth.value));
  const following = computed(() => view.value.toMs === null);
  const still = matchMedia('(prefers-reduced-motion: reduce)');
  const pointerX = signal<number | null>(null);
  const chosenMs = signal<number | null>(null);
  const inSight = (atMs: number): boolean => atMs >= fromMs.value && atMs <= toMs.value;
  const set = (change: (view: View, extent: Extent) => View): void => {
    view.value = change(view.value, extent.peek());
  };
  return {
    plotWidth,
    history,
    extent,
    fromMs,
    toMs,
    spanMs,
    columnMs,
    showsAll: computed(() => view.value.spanMs === Number.POSITIVE_INFINITY),
    following,
    gliding: computed(() => following.value && shown.snapshot.value?.paused === false && !still.matches),
    firstTile: computed(() => Math.floor(fromMs.value / (columnMs.value * TILE_PX)) - TILES_BESIDE),
    tileCount: computed(() => Math.ceil(plotWidth.value / TILE_PX) + 1 + 2 * TILES_BESIDE),
    pointerX,
    chosenMs,
    cursorMs: computed(() => {
      if (pointerX.value !== null) return fromMs.value + pointerX.value * columnMs.value;
      return chosenMs.value !== null && inSight(chosenMs.value) ? chosenMs.value : null;
    }),
    set,
    pan: (px) => {
      set((one, all) => panned(one, all, px * columnMs.peek()));
    },
    zoom: (factor, atPx) => {
      const atMs = atPx === undefined ? undefined : fromMs.peek() + atPx * columnMs.peek();
      set((one, all) => zoomed(one, all, factor, atMs));
    },
    goTo: (atMs) => {
      batch(() => {
        chosenMs.value = atMs;
        if (!inSight(atMs)) set((one, all) => centredOn(one, all, atMs));
      });
    },
    stop,
  };
}

/** A place in the plot, in whole px within it. */
export function placeOf({ plotWidth }: Timeline, px: number): number {
  return clamped(Math.round(px), 0, plotWidth.peek());
}
