/**
 * Gas against the setpoint over time, a lane a sensor, with what was on below. Drawn from its properties
 * alone: a running bench, a report on paper and a picture saved to a file are made of the same parts.
 */
import type { History } from '../data/history.ts';
import type { Band } from './bands.tsx';
import { highestIn } from './curve.ts';
import { type Mark, marksHeight } from './marks.tsx';
import { type Cluster, clustersOf, MOMENTS_HEIGHT } from './moments.tsx';
import { Names, type PicturedRig, StillPlot } from './plot.tsx';
import { GUTTER, type Layout, layoutOf, RIGHT, topFor } from './scales.ts';

export { Hatch } from './plot.tsx';

export interface PictureProps {
  readonly rig: PicturedRig;
  readonly history: History;
  readonly bands: readonly Band[];
  /** Moments to point at, above the lanes. */
  readonly marks?: readonly Mark[];
  /** Whether the events of the history are marked above the lanes. */
  readonly withMoments?: boolean;
  readonly width: number;
  readonly fromMs: number;
  readonly toMs: number;
  /** The picture in a sentence, for those who do not see it. */
  readonly summary: string;
}

export function Picture(props: PictureProps) {
  const { width, summary } = props;
  const still = stillOf(props);
  const { height } = still.layout;
  return (
    <svg
      class="picture"
      width={width}
      height={height}
      viewBox={`0 0 ${width} ${height}`}
      role="img"
      aria-label={summary}
    >
      <Still {...props} {...still} />
    </svg>
  );
}

interface StillParts {
  readonly layout: Layout;
  readonly clusters: readonly Cluster[];
}

/** The picture without its frame, to be set into another. */
export function Still(props: PictureProps & StillParts) {
  const { rig, history, bands, marks = [], layout, clusters } = props;
  return (
    <>
      <Names rig={rig} bands={bands} layout={layout} />
      <g class="plot" transform={`translate(${GUTTER} 0)`}>
        <StillPlot
          rig={rig}
          history={history}
          bands={bands}
          marks={marks}
          clusters={clusters}
          layout={layout}
        />
      </g>
    </>
  );
}

export function stillOf(props: PictureProps): StillParts {
  const { rig, history, bands, marks = [], withMoments = false, width, fromMs, toMs } = props;
  const highest = highestIn([...history.gas.values(), ...history.readings.values()], fromMs, toMs);
  const layout = layoutOf({
    plotWidth: width - GUTTER - RIGHT,
    marksHeight: marksHeight(marks) + (withMoments ? MOMENTS_HEIGHT : 0),
    lanes: rig.sensors.length,
    bands: bands.length,
    fromMs,
    toMs,
    topPercentLfl: topFor(highest, rig.setpoint.percentLfl),
  });
  return { layout, clusters: withMoments ? clustersOf(history.moments, layout.columnMs) : [] };
}
