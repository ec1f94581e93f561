/**
 * The curves of some lanes over a stretch of time, each kind of curve in one path. The chart of a running
 * bench lays many tiles in a row, so that a new point, or a step along the time, redraws one tile and not
 * the hour; and few long paths cost a browser far less than many short ones.
 */
import { Component } from 'preact';
import type { Point, Span } from '../data/history.ts';
import type { Items } from '../data/series.ts';
import { indexInForce } from '../data/timed.ts';
import { cutToWindow, thinned, withoutSpans } from './curve.ts';
import { fieldPath, strokePath } from './path.ts';
import { rounded } from './scales.ts';

export interface Tile {
  readonly fromMs: number;
  readonly toMs: number;
}

export interface LaneCurves {
  readonly gas: Items<Point>;
  readonly reading: Items<Point>;
  /** When the sensor was silent. */
  readonly silent: readonly Span[];
  readonly top: number;
}

interface TileProps {
  readonly tile: Tile;
  readonly lanes: readonly LaneCurves[];
  readonly columnMs: number;
  readonly laneHeight: number;
  readonly topPercentLfl: number;
  readonly setpoint: number;
}

/** What of a curve a tile shows. Points never change once they are there, so these say whether it has. */
interface Piece {
  readonly first: Point | undefined;
  readonly last: Point | undefined;
  readonly length: number;
}

export class TileCurves extends Component<TileProps> {
  override shouldComponentUpdate(next: TileProps): boolean {
    const now = this.props;
    const isSame =
      now.tile.fromMs === next.tile.fromMs &&
      now.columnMs === next.columnMs &&
      now.laneHeight === next.laneHeight &&
      now.topPercentLfl === next.topPercentLfl &&
      now.setpoint === next.setpoint &&
      now.lanes.length === next.lanes.length &&
      now.lanes.every((lane, index) => sameLane(lane, next.lanes[index] ?? lane, next.tile));
    return !isSame;
  }

  override render(props: TileProps) {
    const paths = props.lanes.map((lane) => pathsOf(lane, props));
    const joined = (kind: keyof Paths): string => paths.map((one) => one[kind]).join('');
    const above = joined('above');
    return (
      <>
        <path class="lane-true" d={joined('truth')} />
        {above !== '' && <path class="lane-above" d={above} />}
        <path class="lane-reported" d={joined('reported')} />
      </>
    );
  }
}

interface Paths {
  readonly truth: string;
  readonly above: string;
  readonly reported: string;
}

function pathsOf({ gas, reading, silent, top }: LaneCurves, props: TileProps): Paths {
  const { tile, columnMs, laneHeight, topPercentLfl, setpoint } = props;
  const level = (value: number): number => rounded(top + laneHeight * (1 - value / topPercentLfl));
  const scale = { x: (atMs: number) => rounded((atMs - tile.fromMs) / columnMs), y: level };
  const ready = (points: Items<Point>, spans: readonly Span[]): readonly Point[] =>
    thinned(within(points, tile, spans), tile.fromMs, columnMs);
  const truth = ready(gas, []);
  const reported = ready(reading, over(silent, tile));
  const told = reported.some(({ value }) => value !== null) ? reported : truth;
  const isAbove = told.some(({ value }) => (value ?? 0) >= setpoint);
  const raised = { ...scale, y: (value: number) => level(Math.max(value, setpoint)) };
  return {
    truth: fieldPath(truth, scale, top + laneHeight),
    above: isAbove ? fieldPath(told, raised, level(setpoint)) : '',
    reported: strokePath(reported, scale),
  };
}

function sameLane(a: LaneCurves, b: LaneCurves, tile: Tile): boolean {
  return (
    a.top === b.top &&
    samePiece(pieceOf(a.gas, tile), pieceOf(b.gas, tile)) &&
    samePiece(pieceOf(a.reading, tile), pieceOf(b.reading, tile)) &&
    sameSpans(over(a.silent, tile), over(b.silent, tile))
  );
}

function within(points: Items<Point>, { fromMs, toMs }: Tile, spans: readonly Span[]): readonly Point[] {
  const cut = cutToWindow(points, fromMs, toMs);
  if (spans.length === 0) return cut;
  return withoutSpans(
    cut,
    spans.map((span) => ({ ...span, fromMs: Math.max(fromMs, span.fromMs) })),
  ).filter(({ atMs }) => atMs <= toMs);
}

function pieceOf(points: Items<Point>, { fromMs, toMs }: Tile): Piece {
  const from = indexInForce(points, fromMs);
  const to = indexInForce(points, toMs);
  return { first: points.at(from), last: points.at(to), length: to - from };
}

function samePiece(a: Piece, b: Piece): boolean {
  return a.first === b.first && a.last === b.last && a.length === b.length;
}

function over(spans: readonly Span[], { fromMs, toMs }: Tile): readonly Span[] {
  return spans.filter((span) => span.fromMs < toMs && (span.toMs ?? toMs) >= fromMs);
}

function sameSpans(a: readonly Span[], b: readonly Span[]): boolean {
  return a.length === b.length && a.every((span, index) => span === b[index]);
}
