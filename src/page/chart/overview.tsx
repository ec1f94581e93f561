/** All that is kept of the run in one strip: the highest true gas of any sensor, and the window over it. */
import { useSignalEffect } from '@preact/signals';
import { useMemo, useRef } from 'preact/hooks';
import type { History, Point } from '../data/history.ts';
import { C } from '../texts/index.ts';
import { highestIn } from './curve.ts';
import { placeIn } from './gestures.ts';
import { fieldPath } from './path.ts';
import { GUTTER, rounded, topFor } from './scales.ts';
import type { Timeline } from './timeline.ts';
import { centredOn, wholeSpanMs } from './view.ts';

interface OverviewProps {
  readonly timeline: Timeline;
  readonly history: History;
  readonly setpoint: number;
}

const HEIGHT = 24;
const COLUMNS = 160;
/** The handle stays wide enough to be seen. */
const HANDLE_PX_MIN = 6;

export function Overview({ timeline, history, setpoint }: OverviewProps) {
  const handle = useRef<HTMLDivElement>(null);
  const width = timeline.plotWidth.value;
  const strip = stripOf(timeline);
  useSignalEffect(() => {
    const { beganMs, lengthMs } = stripOf(timeline);
    const pxPerMs = timeline.plotWidth.value / lengthMs;
    const from = Math.max(0, rounded((timeline.fromMs.value - beganMs) * pxPerMs));
    const to = rounded((timeline.toMs.value - beganMs) * pxPerMs);
    if (handle.current === null) return;
    handle.current.style.transform = `translate3d(${from}px, 0, 0)`;
    handle.current.style.width = `${Math.max(HANDLE_PX_MIN, to - from)}px`;
  });
  // Drawn anew when a column of it is over, not with every event.
  const columnMs = strip.lengthMs / COLUMNS;
  const begun = Math.floor(strip.beganMs / columnMs);
  const grown = Math.floor(history.latestAtMs / columnMs);
  const paths = useMemo(
    () => pathsOf(history, strip, width, setpoint),
    [begun, grown, columnMs, width, setpoint],
  );
  const go = (event: PointerEvent & { currentTarget: Element }): void => {
    if (event.buttons !== 1) return;
    const px = placeIn(event.currentTarget, event);
    timeline.set((view, extent) => centredOn(view, extent, strip.beganMs + (px / width) * strip.lengthMs));
  };
  return (
    <div class="overview" aria-hidden="true">
      <span class="overview-name" style={{ width: `${GUTTER - 8}px` }}>
        {C.overview}
      </span>
      <svg
        class="overview-strip"
        width={width}
        height={HEIGHT}
        aria-hidden="true"
        onPointerDown={go}
        onPointerMove={go}
      >
        <path class="lane-true" d={paths.all} />
        <path class="lane-above" d={paths.above} />
        <path class="lane-foot" d={`M0 ${HEIGHT - 0.5}H${width}`} />
      </svg>
      <div class="overview-place" style={{ width: `${width}px` }}>
        <div class="overview-window" ref={handle} />
      </div>
    </div>
  );
}

interface Strip {
  readonly beganMs: number;
  readonly lengthMs: number;
}

function stripOf({ extent }: Timeline): Strip {
  return { beganMs: extent.value.firstMs, lengthMs: wholeSpanMs(extent.value) };
}

function pathsOf(history: History, { beganMs, lengthMs }: Strip, width: number, setpoint: number) {
  const columnMs = lengthMs / COLUMNS;
  const count = Math.max(0, Math.ceil((history.latestAtMs - beganMs) / columnMs));
  const columns = Array.from({ length: count }, (_, index): Point => {
    const atMs = beganMs + index * columnMs;
    return { atMs, value: highestIn(history.gas.values(), atMs, atMs + columnMs) };
  });
  const points = [...columns, { atMs: history.latestAtMs, value: columns.at(-1)?.value ?? 0 }];
  const top = topFor(Math.max(0, ...columns.map(({ value }) => value ?? 0)), setpoint);
  const level = (value: number): number => rounded(HEIGHT * (1 - value / top));
  const x = (atMs: number): number => rounded(((atMs - beganMs) / lengthMs) * width);
  return {
    all: fieldPath(points, { x, y: level }, HEIGHT),
    above: fieldPath(points, { x, y: (value) => level(Math.max(value, setpoint)) }, level(setpoint)),
  };
}
