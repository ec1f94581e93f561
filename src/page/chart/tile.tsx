/**
 * One sensor's curves over a stretch of time. The chart of a running bench lays many of them in a row, so
 * that a new point, or a step along the time, redraws one tile and not the hour.
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

interface TileProps {
  readonly tile: Tile;
  readonly gas: Items<Point>;
  readonly reading: Items<Point>;
  /** When the sensor was silent. */
  readonly silent: readonly Span[];
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
    return !(
      now.tile.fromMs === next.tile.fromMs &&
      now.tile.toMs === next.tile.toMs &&
      now.columnMs === next.columnMs &&
      now.laneHeight === next.laneHeight &&
      now.topPercentLfl === next.topPercentLfl &&
      now.setpoint === next.setpoint &&
      samePiece(pieceOf(now.gas, now.tile), pieceOf(next.gas, next.tile)) &&
      samePiece(pieceOf(now.reading, now.tile), pieceOf(next.reading, next.tile)) &&
      sameSpans(over(now.silent, now.tile), over(next.silent, next.tile))
    );
  }

  override render({ tile, gas, reading, silent, columnMs, laneHeight, topPercentLfl, setpoint }: TileProps) {
    const level = (value: number): number => rounded(laneHeight * (1 - value / topPercentLfl));
    const scale = { x: (atMs: number) => rounded((atMs - tile.fromMs) / columnMs), y: level };
    const above = { ...scale, y: (value: number) => level(Math.max(value, setpoint)) };
    const ready = (points: Items<Point>, spans: readonly Span[]): readonly Point[] =>
      thinned(within(points, tile, spans), tile.fromMs, columnMs);
    const truth = ready(gas, []);
    const reported = ready(reading, over(silent, tile));
    const told = reported.some(({ value }) => value !== null) ? reported : truth;
    return (
      <>
        <path class="lane-true" d={fieldPath(truth, scale, laneHeight)} />
        {told.some(({ value }) => (value ?? 0) >= setpoint) && (
          <path class="lane-above" d={fieldPath(told, above, level(setpoint))} />
        )}
        <path class="lane-reported" d={strokePath(reported, scale)} />
      </>
    );
  }
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
