/**
 * The picture of a running bench: the same parts, but what stands on the time is a sheet of its own that
 * is drawn a little wider than the window and moved behind it. A step along the time moves the sheet and
 * draws nothing.
 */
import { useSignalEffect } from '@preact/signals';
import type { RefObject } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { History } from '../data/history.ts';
import { C } from '../texts/index.ts';
import type { Band } from './bands.tsx';
import { highestIn } from './curve.ts';
import { attend } from './gestures.ts';
import { createGlider, type Glider } from './glide.ts';
import { type Cluster, MOMENTS_HEIGHT } from './moments.tsx';
import { Lines, MovingPlot, Names, type PicturedRig } from './plot.tsx';
import { GUTTER, HALF_LABEL, type Layout, layoutOf, topFor } from './scales.ts';
import type { Tile } from './tile.tsx';
import { TILE_PX, type Timeline } from './timeline.ts';

interface LiveProps extends Drawn {
  readonly timeline: Timeline;
  readonly rig: PicturedRig;
  readonly history: History;
  readonly bands: readonly Band[];
  readonly clusters: readonly Cluster[];
  readonly summary: string;
}

export function Live(props: LiveProps) {
  const { timeline, rig, bands, layout, summary } = props;
  const window = useRef<HTMLElement>(null);
  const sheet = useRef<SVGSVGElement>(null);
  const line = useRef<HTMLDivElement>(null);
  useMoved(timeline, sheet, line);
  useEffect(() => (window.current === null ? undefined : attend(window.current, timeline)), [timeline]);
  const { height } = layout;
  const width = timeline.plotWidth.value;
  return (
    <div class="live">
      <section
        class="plot-window"
        style={{
          ...{ marginLeft: `${GUTTER}px`, width: `${width}px`, height: `${height}px` },
          clipPath: windowOf(layout),
        }}
        ref={window}
        // biome-ignore lint/a11y/noNoninteractiveTabindex: its keys move what it shows
        tabIndex={0}
        aria-label={C.frame}
      >
        <svg class="picture" ref={sheet} width={width} height={height} role="img" aria-label={summary}>
          <MovingPlot {...props} />
        </svg>
        <div class="cursor-line" ref={line} />
      </section>
      <svg class="picture-names" width={GUTTER + width} height={height} aria-hidden="true">
        <Names rig={rig} bands={bands} layout={layout} />
        <g transform={`translate(${GUTTER} 0)`}>
          <Lines rig={rig} layout={{ ...layout, plotWidth: width }} />
        </g>
      </svg>
    </div>
  );
}

/** What is seen of the sheet: curves to the very edge, marks above and labels below them a little beyond. */
function windowOf({ marksHeight, axisTop }: Layout): string {
  const [beyond, marks, axis] = [`calc(100% + ${HALF_LABEL}px)`, `${marksHeight}px`, `${axisTop}px`];
  const right = [`100% ${marks}`, `100% ${axis}`, `${beyond} ${axis}`, `${beyond} 100%`];
  const left = [`-${HALF_LABEL}px 100%`, `-${HALF_LABEL}px ${axis}`, `0 ${axis}`, `0 ${marks}`];
  const above = [`-${HALF_LABEL}px ${marks}`, `-${HALF_LABEL}px 0`, `${beyond} 0`, `${beyond} ${marks}`];
  return `polygon(${[...right, ...left, ...above].join(', ')})`;
}

/** What is drawn of the run: whole tiles, and where all stands on them. */
export interface Drawn {
  readonly layout: Layout;
  readonly tiles: readonly Tile[];
}

export function drawnOf(timeline: Timeline, rig: PicturedRig, history: History, bands: number): Drawn {
  const tileMs = timeline.columnMs.value * TILE_PX;
  const first = timeline.firstTile.value;
  const tiles = Array.from({ length: timeline.tileCount.value }, (_, index) => ({
    fromMs: (first + index) * tileMs,
    toMs: (first + index + 1) * tileMs,
  }));
  const fromMs = first * tileMs;
  const toMs = fromMs + tiles.length * tileMs;
  const highest = highestIn([...history.gas.values(), ...history.readings.values()], fromMs, toMs);
  const layout = layoutOf({
    plotWidth: tiles.length * TILE_PX,
    marksHeight: MOMENTS_HEIGHT,
    lanes: rig.sensors.length,
    bands,
    fromMs,
    toMs,
    originMs: originTile(first) * tileMs,
    topPercentLfl: topFor(highest, rig.setpoint.percentLfl),
  });
  return { layout, tiles };
}

/** Moves sheet and cursor whenever time or pointer do, past all drawing. */
function useMoved(
  timeline: Timeline,
  sheet: RefObject<SVGSVGElement | null>,
  line: RefObject<HTMLDivElement | null>,
): void {
  const gliders = useRef<{ readonly sheet: Glider; readonly line: Glider } | null>(null);
  const drawnColumnMs = useRef(0);
  useSignalEffect(() => {
    const [fromMs, columnMs] = [timeline.fromMs.value, timeline.columnMs.value];
    const [first, pointerX, chosenMs] = [
      timeline.firstTile.value,
      timeline.pointerX.value,
      timeline.chosenMs.value,
    ];
    const gliding = timeline.gliding.value && drawnColumnMs.current === columnMs;
    drawnColumnMs.current = columnMs;
    if (sheet.current === null || line.current === null) return;
    gliders.current ??= { sheet: createGlider(sheet.current), line: createGlider(line.current) };
    gliders.current.sheet.move(fromMs, (ms) => originTile(first) * TILE_PX - ms / columnMs, gliding);
    gliders.current.line.move(
      fromMs,
      (ms) => pointerX ?? (chosenMs === null ? OUT_OF_SIGHT : (chosenMs - ms) / columnMs),
      gliding,
    );
  });
}

const OUT_OF_SIGHT = -100;

/** Where x is 0. It moves seldom, so that what is drawn keeps its place; too far away, px would be coarse. */
function originTile(first: number): number {
  return Math.floor(first / TILES_OF_ONE_ORIGIN) * TILES_OF_ONE_ORIGIN;
}

const TILES_OF_ONE_ORIGIN = 1024;
