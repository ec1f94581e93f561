/** What the picture is made of: names at the left, and all that stands on the time beside them. */
import { formatClock } from '../../units/format.ts';
import type { History } from '../data/history.ts';
import type { RigView } from '../types.ts';
import { type Band, BandNames, Bands } from './bands.tsx';
import { Lane, LaneNames } from './lane.tsx';
import { type Mark, Marks } from './marks.tsx';
import { type Cluster, MomentMarks } from './moments.tsx';
import { type Layout, timeTicks } from './scales.ts';
import type { Tile } from './tile.tsx';

export type PicturedRig = Pick<RigView, 'sensors' | 'setpoint'>;

interface NamesProps {
  readonly rig: PicturedRig;
  readonly bands: readonly Band[];
  readonly layout: Layout;
}

export function Names({ rig, bands, layout }: NamesProps) {
  return (
    <g class="names">
      {rig.sensors.map((sensor, index) => (
        <LaneNames
          key={sensor.id}
          sensor={sensor}
          setpoint={rig.setpoint}
          layout={layout}
          top={layout.laneTops[index] ?? 0}
        />
      ))}
      <BandNames bands={bands} layout={layout} />
    </g>
  );
}

interface PlotProps extends NamesProps {
  readonly history: History;
  readonly marks: readonly Mark[];
  readonly clusters: readonly Cluster[];
  /** The time of the layout, cut where its curves may be drawn apart. */
  readonly tiles: readonly Tile[];
}

export function Plot({ rig, history, bands, marks, clusters, layout, tiles }: PlotProps) {
  return (
    <>
      <TimeAxis layout={layout} />
      {rig.sensors.map((sensor, index) => (
        <Lane
          key={sensor.id}
          sensor={sensor}
          setpoint={rig.setpoint}
          history={history}
          layout={layout}
          tiles={tiles}
          top={layout.laneTops[index] ?? 0}
        />
      ))}
      <Bands bands={bands} beganAtMs={history.beganAtMs} layout={layout} />
      <Marks marks={marks} layout={layout} />
      <MomentMarks clusters={clusters} layout={layout} />
    </>
  );
}

/** What unknown stretches are filled with: once a document, for every picture and legend in it. */
export function Hatch() {
  return (
    <svg class="only-heard" aria-hidden="true">
      <HatchPattern />
    </svg>
  );
}

export function HatchPattern() {
  return (
    <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
      <path class="hatch" d="M0 0v6" />
    </pattern>
  );
}

/** Half a label like "0:12:00". */
const HALF_LABEL = 24;

function TimeAxis({ layout }: { readonly layout: Layout }) {
  const { x, plotWidth, marksHeight: top, axisTop } = layout;
  return (
    <g class="axis">
      {timeTicks(layout).map((atMs) => (
        <g key={atMs}>
          <path class="tick" d={`M${x(atMs)} ${top}V${axisTop}`} />
          {x(atMs) > HALF_LABEL - 8 && (
            <text class="tick-word" x={Math.min(x(atMs), plotWidth - HALF_LABEL + 10)} y={axisTop + 14}>
              {formatClock(atMs)}
            </text>
          )}
        </g>
      ))}
    </g>
  );
}
