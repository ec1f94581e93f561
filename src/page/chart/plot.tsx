/** What the picture is made of: names at the left, and all that stands on the time beside them. */
import { formatClock } from '../../units/format.ts';
import type { History } from '../data/history.ts';
import type { RigView } from '../types.ts';
import { type Band, BandNames, Bands } from './bands.tsx';
import { LaneLines, LaneNames, LaneSpans, laneCurves } from './lane.tsx';
import { type Mark, Marks } from './marks.tsx';
import { type Cluster, MomentMarks } from './moments.tsx';
import { type Layout, timeTicks } from './scales.ts';
import { type LaneCurves, type Tile, TileCurves } from './tile.tsx';

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
  readonly clusters: readonly Cluster[];
}

interface StillPlotProps extends PlotProps {
  readonly marks: readonly Mark[];
}

/** All of it at once: lane by lane, each in a group of its own. */
export function StillPlot(props: StillPlotProps) {
  const { rig, history, bands, marks, clusters, layout } = props;
  return (
    <>
      <TimeAxis layout={layout} />
      {rig.sensors.map((sensor, index) => {
        const top = layout.laneTops[index] ?? 0;
        return (
          <g key={sensor.id} class="lane">
            <LaneSpans sensor={sensor} history={history} layout={layout} top={top} />
            <Curves {...props} tile={layout} lanes={[laneCurves(history, sensor, top)]} />
            <LaneLines setpoint={rig.setpoint} layout={layout} top={top} />
          </g>
        );
      })}
      <Bands bands={bands} beganAtMs={history.beganAtMs} layout={layout} />
      <Marks marks={marks} layout={layout} />
      <MomentMarks clusters={clusters} layout={layout} />
    </>
  );
}

interface MovingPlotProps extends PlotProps {
  /** The time of the layout, cut where its curves are drawn apart. */
  readonly tiles: readonly Tile[];
}

/** What time moves: all lanes together, tile by tile. Names and lines stand still above it. */
export function MovingPlot(props: MovingPlotProps) {
  const { rig, history, bands, clusters, layout, tiles } = props;
  const topOf = (index: number): number => layout.laneTops[index] ?? 0;
  const lanes = rig.sensors.map((sensor, index) => laneCurves(history, sensor, topOf(index)));
  return (
    <>
      <TimeAxis layout={layout} />
      {rig.sensors.map((sensor, index) => (
        <LaneSpans key={sensor.id} sensor={sensor} history={history} layout={layout} top={topOf(index)} />
      ))}
      {tiles.map((tile) => (
        <g key={tile.fromMs} class="tile" transform={`translate(${layout.x(tile.fromMs)} 0)`}>
          <Curves {...props} tile={tile} lanes={lanes} />
        </g>
      ))}
      <Bands bands={bands} beganAtMs={history.beganAtMs} layout={layout} />
      <MomentMarks clusters={clusters} layout={layout} />
    </>
  );
}

interface CurvesProps extends PlotProps {
  readonly tile: Tile;
  readonly lanes: readonly LaneCurves[];
}

function Curves({ rig, layout, tile, lanes }: CurvesProps) {
  return (
    <TileCurves
      tile={tile}
      lanes={lanes}
      columnMs={layout.columnMs}
      laneHeight={layout.laneHeight}
      topPercentLfl={layout.topPercentLfl}
      setpoint={rig.setpoint.percentLfl}
    />
  );
}

/** The lines of all lanes, for a plot of this width. */
export function Lines({ rig, layout }: Omit<NamesProps, 'bands'>) {
  return rig.sensors.map((sensor, index) => (
    <LaneLines key={sensor.id} setpoint={rig.setpoint} layout={layout} top={layout.laneTops[index] ?? 0} />
  ));
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

function TimeAxis({ layout }: { readonly layout: Layout }) {
  const { x, marksHeight: top, axisTop } = layout;
  return (
    <g class="axis">
      {timeTicks(layout).map((atMs) => (
        <g key={atMs}>
          <path class="tick" d={`M${x(atMs)} ${top}V${axisTop}`} />
          <text class="tick-word" x={x(atMs)} y={axisTop + 14}>
            {formatClock(atMs)}
          </text>
        </g>
      ))}
    </g>
  );
}
