/**
 * Gas against the setpoint over time, a lane a sensor, with what was on below. Drawn from its properties
 * alone, so that a running bench and a report on paper show the same picture.
 */
import { formatClock } from '../../units/format.ts';
import type { History } from '../data/history.ts';
import type { RigView } from '../types.ts';
import { type Band, Bands } from './bands.tsx';
import { Lane } from './lane.tsx';
import { type Mark, Marks, marksHeight } from './marks.tsx';
import { GUTTER, type Layout, layoutOf, timeTicks } from './scales.ts';

export interface PictureProps {
  readonly rig: PicturedRig;
  readonly history: History;
  readonly bands: readonly Band[];
  /** Moments to point at, above the lanes. */
  readonly marks?: readonly Mark[];
  readonly width: number;
  readonly fromMs: number;
  readonly toMs: number;
  /** The picture in a sentence, for those who do not see it. */
  readonly summary: string;
}

export type PicturedRig = Pick<RigView, 'sensors' | 'setpoint'>;

/** Room above the highest curve; at the least the setpoint stands in the middle. */
const HEADROOM = 1.1;
const TOP_SETPOINTS_MIN = 2;

export function Picture({ rig, history, bands, marks = [], width, fromMs, toMs, summary }: PictureProps) {
  const layout = layoutOf({
    width,
    marksHeight: marksHeight(marks),
    lanes: rig.sensors.length,
    bands: bands.length,
    fromMs,
    toMs,
    topPercentLfl: topOf(rig, history, fromMs),
  });
  const { height } = layout;
  return (
    <svg
      class="picture"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={summary}
    >
      <TimeAxis layout={layout} />
      {rig.sensors.map((sensor, index) => (
        <Lane
          key={sensor.id}
          sensor={sensor}
          setpoint={rig.setpoint}
          history={history}
          layout={layout}
          top={layout.laneTops[index] ?? 0}
        />
      ))}
      <Bands bands={bands} beganAtMs={history.beganAtMs} layout={layout} />
      <Marks marks={marks} layout={layout} />
    </svg>
  );
}

/** What unknown stretches are filled with: once a document, for every picture and legend in it. */
export function Hatch() {
  return (
    <svg class="only-heard" aria-hidden="true">
      <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <path class="hatch" d="M0 0v6" />
      </pattern>
    </svg>
  );
}

function TimeAxis({ layout }: { readonly layout: Layout }) {
  const { x, marksHeight: top, axisTop } = layout;
  return (
    <g class="axis">
      {timeTicks(layout).map((atMs) => (
        <g key={atMs}>
          <path class="tick" d={`M${x(atMs)} ${top}V${axisTop}`} />
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
function topOf(rig: PicturedRig, history: History, fromMs: number): number {
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
