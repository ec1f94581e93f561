/** One sensor over time: true gas as a grey field, the reported reading as a line, the setpoint across. */
import { area, curveStepAfter, line } from 'd3-shape';
import { useId } from 'preact/hooks';
import type { History, Point, Span } from '../data/history.ts';
import { T } from '../texts/index.ts';
import type { RigSensor, RigView } from '../types.ts';
import { cutToWindow, thinned, withEnds, withoutSpans } from './curve.ts';
import { GUTTER, type Layout } from './scales.ts';

interface LaneProps {
  readonly sensor: RigSensor;
  readonly setpoint: RigView['setpoint'];
  readonly history: History;
  readonly layout: Layout;
  readonly top: number;
}

/** Hazards under which a sensor's number is not to be believed. */
const DISTRUST: readonly string[] = [
  'silent',
  'selfFailed',
  'frozen',
  'invalid',
  'stranger',
  'contradiction',
];

export function Lane({ sensor, setpoint, history, layout, top }: LaneProps) {
  const clip = useId();
  const { x, y, laneHeight, width } = layout;
  const foot = top + laneHeight;
  const spans = history.hazards.filter((span) => span.subject === sensor.id);
  const gas = ready(history.gas.get(sensor.id) ?? history.gas.get(sensor.at) ?? [], layout);
  const believed = withoutSpans(
    history.readings.get(sensor.id) ?? [],
    spans.filter((span) => span.hazard === 'silent'),
  );
  const reading = ready(believed, layout);
  const setpointY = foot - y(setpoint.percentLfl);
  return (
    <g class="lane">
      <clipPath id={clip}>
        <rect x={GUTTER} y={top} width={Math.max(0, width - GUTTER)} height={Math.max(0, setpointY - top)} />
      </clipPath>
      <text class="lane-name" x={GUTTER - 8} y={top + 7}>
        {sensor.id}
      </text>
      <text class="lane-name lane-scale" x={GUTTER - 8} y={setpointY}>
        {T.gasScale(setpoint.percentLfl)}
      </text>
      <text class="lane-name lane-scale" x={GUTTER - 8} y={foot}>
        0
      </text>
      <path class="lane-true" d={field(gas, layout, foot)} />
      <path
        class="lane-above"
        clip-path={`url(#${clip})`}
        d={field(reading.length > 0 ? reading : gas, layout, foot)}
      />
      {spans
        .filter((span) => DISTRUST.includes(span.hazard))
        .map((span) => block(span, layout, top, 'lane-unknown'))}
      <path class="lane-foot" d={`M${GUTTER} ${foot}H${x(layout.toMs)}`} />
      <path class="lane-clear" d={`M${GUTTER} ${foot - y(setpoint.clearBelow)}H${x(layout.toMs)}`} />
      <path class="lane-setpoint" d={`M${GUTTER} ${setpointY}H${x(layout.toMs)}`} />
      <path class="lane-reported" d={stroke(reading, layout, foot)} />
      {sensor.kind === 'contact' &&
        spans.filter((span) => span.hazard === 'gas').map((span) => contact(span, layout, foot))}
    </g>
  );
}

function ready(points: readonly Point[], { fromMs, toMs, width }: Layout): readonly Point[] {
  const columnMs = (toMs - fromMs) / Math.max(1, width - GUTTER);
  return withEnds(thinned(cutToWindow(points, fromMs, toMs), fromMs, columnMs));
}

function field(points: readonly Point[], { x, y }: Layout, foot: number): string {
  const draw = area<Point>()
    .defined((point) => point.value !== null)
    .x((point) => x(point.atMs))
    .y0(foot)
    .y1((point) => foot - y(point.value ?? 0))
    .curve(curveStepAfter);
  return draw([...points]) ?? '';
}

function stroke(points: readonly Point[], { x, y }: Layout, foot: number): string {
  const draw = line<Point>()
    .defined((point) => point.value !== null)
    .x((point) => x(point.atMs))
    .y((point) => foot - y(point.value ?? 0))
    .curve(curveStepAfter);
  return draw([...points]) ?? '';
}

/** A stretch of time as far as the window shows it. */
function extent(span: Span, { x, fromMs, toMs }: Layout): { readonly x: number; readonly width: number } {
  const begin = x(Math.max(fromMs, span.fromMs));
  const end = x(Math.min(toMs, span.toMs ?? toMs));
  return { x: begin, width: Math.max(0, end - begin) };
}

function block(span: Span, layout: Layout, top: number, name: string) {
  const key = `${span.hazard} ${span.fromMs}`;
  return <rect key={key} class={name} y={top} height={layout.laneHeight} {...extent(span, layout)} />;
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
