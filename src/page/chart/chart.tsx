/** Gas against the setpoint over bench time, a lane a sensor, with what was commanded below. */
import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { formatClock } from '../../units/format.ts';
import type { History } from '../data/history.ts';
import { outputsOf } from '../data/outputs.ts';
import { Choice } from '../parts/choice.tsx';
import { useStore } from '../parts/use-store.ts';
import { T } from '../texts.ts';
import type { RigView, Snapshot } from '../types.ts';
import { Bands } from './bands.tsx';
import { Lane } from './lane.tsx';
import { Legend } from './legend.tsx';
import { GUTTER, type Layout, layoutOf, timeTicks } from './scales.ts';

const WINDOWS_MIN = [5, 10, 15, 60] as const;
const MINUTE_MS = 60_000;
/** Room above the highest curve; at the least the setpoint stands in the middle. */
const HEADROOM = 1.1;
const TOP_SETPOINTS_MIN = 2;

export function Chart() {
  const { rig, shown, history } = useStore();
  const minutes = useSignal<number>(10);
  const frame = useRef<HTMLDivElement>(null);
  const width = useWidth(frame);
  const snapshot = shown.snapshot.value;
  return (
    <figure class="chart">
      <figcaption class="chart-head">
        <h2>{T.chart}</h2>
        <Choice
          name={T.chartWindow}
          options={WINDOWS_MIN.map((one) => ({ value: one, word: T.minutes(one) }))}
          chosen={minutes.value}
          onChoose={(value) => {
            minutes.value = value;
          }}
        />
      </figcaption>
      {rig.value !== null && <Legend rig={rig.value} />}
      <div class="chart-frame" ref={frame}>
        {rig.value !== null && snapshot !== null && width.value > 0 && (
          <Picture
            rig={rig.value}
            snapshot={snapshot}
            history={history.value}
            width={width.value}
            toMs={shown.benchNowMs.value}
            windowMs={minutes.value * MINUTE_MS}
          />
        )}
      </div>
    </figure>
  );
}

function useWidth(element: { readonly current: HTMLElement | null }) {
  const width = useSignal(0);
  useEffect(() => {
    if (element.current === null) return undefined;
    const observer = new ResizeObserver(([entry]) => {
      width.value = Math.floor(entry?.contentRect.width ?? 0);
    });
    observer.observe(element.current);
    return () => {
      observer.disconnect();
    };
  }, [element, width]);
  return width;
}

interface PictureProps {
  readonly rig: RigView;
  readonly snapshot: Snapshot;
  readonly history: History;
  readonly width: number;
  readonly toMs: number;
  readonly windowMs: number;
}

function Picture({ rig, snapshot, history, width, toMs, windowMs }: PictureProps) {
  const outputs = outputsOf(rig).filter(
    (output) => output === 'fan' || output === 'heat' || output.includes('.'),
  );
  const fromMs = toMs - windowMs;
  const layout = layoutOf({
    width,
    lanes: rig.sensors.length,
    bands: outputs.length,
    fromMs,
    toMs,
    topPercentLfl: topOf(rig, history, fromMs),
  });
  return (
    <svg class="picture" width={width} height={layout.height} role="img" aria-label={summary(rig, snapshot)}>
      <defs>
        <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
          <path class="hatch" d="M0 0v6" />
        </pattern>
      </defs>
      <TimeAxis layout={layout} />
      {rig.sensors.map((sensor, index) => (
        <Lane
          key={sensor.id}
          sensor={sensor}
          rig={rig}
          history={history}
          layout={layout}
          top={layout.laneTops[index] ?? 0}
        />
      ))}
      <Bands outputs={outputs} history={history} snapshot={snapshot} layout={layout} />
    </svg>
  );
}

function TimeAxis({ layout }: { readonly layout: Layout }) {
  const { x, axisTop } = layout;
  return (
    <g class="axis">
      {timeTicks(layout).map((atMs) => (
        <g key={atMs}>
          <path class="tick" d={`M${x(atMs)} 0V${axisTop}`} />
          {x(atMs) > GUTTER + 16 && (
            <text class="tick-word" x={Math.min(x(atMs), layout.width - 24)} y={axisTop + 14}>
              {formatClock(atMs)}
            </text>
          )}
        </g>
      ))}
    </g>
  );
}

/** All lanes share one scale, so that their heights can be compared. */
function topOf(rig: RigView, history: History, fromMs: number): number {
  const curves = [...history.gas.values(), ...history.readings.values()];
  const highest = Math.max(
    0,
    ...curves.map((points) =>
      points.reduce((top, point, index) => {
        const nextMs = points[index + 1]?.atMs ?? Number.POSITIVE_INFINITY;
        return nextMs >= fromMs ? Math.max(top, point.value ?? 0) : top;
      }, 0),
    ),
  );
  return Math.max(rig.setpoint.percentLfl * TOP_SETPOINTS_MIN, highest * HEADROOM);
}

function summary(rig: RigView, { world, supervisor }: Snapshot): string {
  return T.chartSummary(
    rig.sensors.map(({ id }) => {
      const reading = supervisor?.sensors[id]?.gas ?? null;
      return T.chartNow(id, world?.sensors[id]?.gas ?? null, reading);
    }),
  );
}
