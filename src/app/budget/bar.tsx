/**
 * The time from gas to air as one stacked bar, a segment an item, and below it as stairs, so that each
 * segment has its words beside it however short it is. Neighbours differ in filling and carry their number;
 * nothing is said by colour alone.
 */
import type { Item, ResponseTime } from '../../budget/index.ts';
import { ScrollFrame } from '../report/html/scroll-frame.tsx';
import { timeText } from './result.ts';

const WIDTH = 960;
const BAR_FROM = 400;
const BAR_HEIGHT = 28;
const ROW = 26;
const TOP = 24;
const TEXT_DROP = 15;
/** A segment that takes no time is still there to be seen. */
const SEGMENT_MIN = 2;
const LETTER_WIDTH = 14;

interface Segment {
  readonly item: Item;
  readonly x: number;
  readonly width: number;
}

interface BarProps {
  readonly response: ResponseTime;
  readonly respondWithinMs: number;
}

export function Bar({ response, respondWithinMs }: BarProps) {
  const { items, airflowMs, reportedMs } = response;
  if (!Number.isFinite(airflowMs)) return <p>Mitigation never comes this way; the figures below say why.</p>;
  const limitMs = reportedMs + respondWithinMs;
  const scale = (WIDTH - BAR_FROM - 10) / Math.max(airflowMs, limitMs);
  const segments = segmentsOf(items, scale);
  const limitX = BAR_FROM + limitMs * scale;
  const height = TOP + BAR_HEIGHT + 12 + items.length * ROW + 24;
  return (
    <ScrollFrame kind="picture" label="Time from gas to airflow">
      <svg class="budget-bar" viewBox={`0 0 ${WIDTH} ${height}`} role="img" aria-label={spoken(response)}>
        <text x={BAR_FROM} y={TOP - 8} class="budget-note">
          gas
        </text>
        <text x={limitX} y={TOP - 8} text-anchor="end" class="budget-note">
          respondWithin after the sensor says gas: {timeText(limitMs)}
        </text>
        {segments.map((segment, index) => (
          <Block key={index} segment={segment} y={TOP} height={BAR_HEIGHT} number={index + 1} />
        ))}
        {segments.map((segment, index) => (
          <Row key={index} segment={segment} y={TOP + BAR_HEIGHT + 12 + index * ROW} number={index + 1} />
        ))}
        <line x1={limitX} x2={limitX} y1={TOP - 4} y2={height - 20} class="budget-limit" />
        <text x={0} y={height - 4} class="budget-sum">
          in all {timeText(airflowMs)} until air moves
        </text>
      </svg>
    </ScrollFrame>
  );
}

function segmentsOf(items: readonly Item[], scale: number): readonly Segment[] {
  let atMs = 0;
  return items.map((item) => {
    const x = BAR_FROM + atMs * scale;
    atMs += item.ms;
    return { item, x, width: Math.max(SEGMENT_MIN, item.ms * scale) };
  });
}

interface PartProps {
  readonly segment: Segment;
  readonly y: number;
  readonly number: number;
}

function Block({ segment: { x, width, item }, y, number, height }: PartProps & { readonly height: number }) {
  if (item.ms === 0) return null;
  return (
    <g>
      <rect x={x} y={y} width={width} height={height} class={filling(number)} />
      {width > LETTER_WIDTH && (
        <text x={x + width / 2} y={y + height - 9} text-anchor="middle" class="budget-number">
          {number}
        </text>
      )}
    </g>
  );
}

function Row({ segment: { x, width, item }, y, number }: PartProps) {
  return (
    <g>
      <text x={0} y={y + TEXT_DROP}>
        {number}. {item.name}
      </text>
      <text x={BAR_FROM - 12} y={y + TEXT_DROP} text-anchor="end" class="figure">
        {timeText(item.ms)}
      </text>
      <rect x={x} y={y + 2} width={width} height={ROW - 8} class={filling(number)} />
    </g>
  );
}

function filling(number: number): string {
  return number % 2 === 0 ? 'budget-block budget-even' : 'budget-block';
}

function spoken({ items, airflowMs }: ResponseTime): string {
  const parts = items.map(({ name, ms }) => `${name} ${timeText(ms)}`);
  return `${parts.join(', ')}: in all ${timeText(airflowMs)} from gas to airflow`;
}
