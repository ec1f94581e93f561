/** One sensor over time: true gas as a grey field, the reported reading as a line, the setpoint across. */
import type { History, Point, Span } from '../data/history.ts';
import type { Items } from '../data/series.ts';
import { T } from '../texts/index.ts';
import type { RigSensor, RigView } from '../types.ts';
import { GUTTER, type Layout, rounded } from './scales.ts';
import type { LaneCurves } from './tile.tsx';

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

/** Foot, setpoint and the level below which it is clear: the same at all times. */
export function LaneLines({ setpoint, layout, top }: Omit<LaneNamesProps, 'sensor'>) {
  const { y, plotWidth, laneHeight } = layout;
  const foot = top + laneHeight;
  return (
    <>
      <path class="lane-foot" d={`M0 ${foot}H${plotWidth}`} />
      <path class="lane-clear" d={`M0 ${rounded(foot - y(setpoint.clearBelow))}H${plotWidth}`} />
      <path class="lane-setpoint" d={`M0 ${rounded(foot - y(setpoint.percentLfl))}H${plotWidth}`} />
    </>
  );
}

interface LaneSpansProps {
  readonly sensor: RigSensor;
  readonly history: History;
  readonly layout: Layout;
  readonly top: number;
}

/** Stretches of time in which the lane is not what it seems, or is a contact that says gas. */
export function LaneSpans({ sensor, history, layout, top }: LaneSpansProps) {
  const spans = history.hazards.filter((span) => span.subject === sensor.id && isIn(span, layout));
  return (
    <>
      {spans
        .filter((span) => DISTRUST.includes(span.hazard))
        .map((span) => (
          <rect
            key={`${span.hazard} ${span.fromMs}`}
            class="lane-unknown"
            y={top}
            height={layout.laneHeight}
            {...extent(span, layout)}
          />
        ))}
      {sensor.kind === 'contact' &&
        spans
          .filter((span) => span.hazard === 'gas')
          .map((span) => contact(span, layout, top + layout.laneHeight))}
    </>
  );
}

export function laneCurves(history: History, sensor: RigSensor, top: number): LaneCurves {
  const silent = history.hazards.filter((span) => span.subject === sensor.id && span.hazard === 'silent');
  return { ...curvesOf(history, sensor), silent, top };
}

const NOTHING: Items<Point> = [];

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
