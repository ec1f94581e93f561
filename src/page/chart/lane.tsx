/** One sensor over time: true gas as a grey field, the reported reading as a line, the setpoint across. */
import type { History, Point, Span } from '../data/history.ts';
import type { Items } from '../data/series.ts';
import { T } from '../texts/index.ts';
import type { RigSensor, RigView } from '../types.ts';
import { GUTTER, type Layout } from './scales.ts';
import { type Tile, TileCurves } from './tile.tsx';

/** Hazards under which a sensor's number is not to be believed. */
const DISTRUST: readonly string[] = [
  'silent',
  'selfFailed',
  'frozen',
  'invalid',
  'stranger',
  'contradiction',
];

interface LaneNamesProps {
  readonly sensor: RigSensor;
  readonly setpoint: RigView['setpoint'];
  readonly layout: Layout;
  readonly top: number;
}

export function LaneNames({ sensor, setpoint, layout, top }: LaneNamesProps) {
  const foot = top + layout.laneHeight;
  return (
    <g class="lane-names">
      <text class="lane-name" x={GUTTER - 8} y={top + 7}>
        {fitting(sensor.id)}
      </text>
      <text class="lane-name lane-scale" x={GUTTER - 8} y={foot - layout.y(setpoint.percentLfl)}>
        {T.gasScale(setpoint.percentLfl)}
      </text>
      <text class="lane-name lane-scale" x={GUTTER - 8} y={foot}>
        0
      </text>
    </g>
  );
}

/** As much of a name as the gutter holds; readout and table have all of it. */
const NAME_LETTERS_MAX = 14;

function fitting(name: string): string {
  return name.length <= NAME_LETTERS_MAX ? name : `${name.slice(0, NAME_LETTERS_MAX - 1)}…`;
}

interface LaneProps extends LaneNamesProps {
  readonly history: History;
  readonly tiles: readonly Tile[];
}

const NOTHING: Items<Point> = [];

export function Lane({ sensor, setpoint, history, layout, tiles, top }: LaneProps) {
  const { x, y, laneHeight: foot, plotWidth } = layout;
  const spans = history.hazards.filter((span) => span.subject === sensor.id && isIn(span, layout));
  const silent = spans.filter((span) => span.hazard === 'silent');
  const { gas, reading } = curvesOf(history, sensor);
  return (
    <g class="lane" transform={`translate(0 ${top})`}>
      {spans
        .filter((span) => DISTRUST.includes(span.hazard))
        .map((span) => (
          <rect
            key={`${span.hazard} ${span.fromMs}`}
            class="lane-unknown"
            y={0}
            height={foot}
            {...extent(span, layout)}
          />
        ))}
      {tiles.map((tile) => (
        <g key={tile.fromMs} transform={`translate(${x(tile.fromMs)} 0)`}>
          <TileCurves
            tile={tile}
            gas={gas}
            reading={reading}
            silent={silent}
            columnMs={layout.columnMs}
            laneHeight={foot}
            topPercentLfl={layout.topPercentLfl}
            setpoint={setpoint.percentLfl}
          />
        </g>
      ))}
      <path class="lane-foot" d={`M0 ${foot}H${plotWidth}`} />
      <path class="lane-clear" d={`M0 ${foot - y(setpoint.clearBelow)}H${plotWidth}`} />
      <path class="lane-setpoint" d={`M0 ${foot - y(setpoint.percentLfl)}H${plotWidth}`} />
      {sensor.kind === 'contact' &&
        spans.filter((span) => span.hazard === 'gas').map((span) => contact(span, layout, foot))}
    </g>
  );
}

/** True gas where the sensor is, and what it reported. */
export function curvesOf({ gas, readings }: History, { id, at }: RigSensor) {
  return { gas: gas.get(id) ?? gas.get(at) ?? NOTHING, reading: readings.get(id) ?? NOTHING };
}

function isIn(span: Span, { fromMs, toMs }: Layout): boolean {
  return span.fromMs < toMs && (span.toMs ?? toMs) > fromMs;
}

/** A stretch of time as far as the window shows it. */
function extent(span: Span, { x, fromMs, toMs }: Layout): { readonly x: number; readonly width: number } {
  const begin = x(Math.max(fromMs, span.fromMs));
  const end = x(Math.min(toMs, span.toMs ?? toMs));
  return { x: begin, width: Math.max(0, end - begin) };
}

/** A contact has no number: while it says gas, a bar along the foot of its lane does. */
function contact(span: Span, layout: Layout, foot: number) {
  const place = extent(span, layout);
  return (
    <g key={span.fromMs}>
      <rect class="lane-contact" y={foot - 7} height={7} {...place} />
      {place.width > 80 && (
        <text class="lane-contact-word" x={place.x + 4} y={foot - 11}>
          {T.contactGas}
        </text>
      )}
    </g>
  );
}
