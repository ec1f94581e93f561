/** What the benches measured, gathered over their processes: each writes its lines, the end makes one table. */
import { appendFileSync, mkdirSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { packageRoot } from '../../src/files/index.ts';

export interface Figure {
  readonly what: string;
  /** The median over the rounds. */
  readonly median: number;
  readonly unit: string;
  readonly rounds: number;
  /** What ran in turn with it, and the median of the rounds' ratios, ours over its; null where nothing did. */
  readonly beside: { readonly peer: string; readonly ratio: number } | null;
  /** As we should like to have it: of the ratio where there is one. */
  readonly aim: string | null;
}

export const FIGURES_FOLDER = join(packageRoot(), 'tests/.tmp/figures');
export const FIGURES_SO_FAR = join(FIGURES_FOLDER, 'so-far.jsonl');

export function keepFigures(figures: readonly Figure[]): void {
  mkdirSync(dirname(FIGURES_SO_FAR), { recursive: true });
  appendFileSync(FIGURES_SO_FAR, figures.map((figure) => `${JSON.stringify(figure)}\n`).join(''));
}

export function figuresSoFar(): readonly Figure[] {
  const lines = readFileSync(FIGURES_SO_FAR, 'utf8').split('\n');
  return lines.filter((line) => line !== '').map((line) => JSON.parse(line) as Figure);
}

export function median(values: readonly number[]): number {
  const sorted = values.toSorted((one, other) => one - other);
  return sorted[Math.floor(sorted.length / 2)] ?? Number.NaN;
}

/** Round by round, so that what else the machine did meanwhile struck both. */
export function ratiosOf(ones: readonly number[], others: readonly number[]): readonly number[] {
  return ones.map((one, round) => one / (others[round] ?? Number.NaN));
}

/** A figure of rounds, beside a peer's of the same rounds or beside nothing. */
export function figure(
  what: string,
  unit: string,
  values: readonly number[],
  peer: { readonly name: string; readonly values: readonly number[] } | null = null,
  aim: string | null = null,
): Figure {
  const beside = peer && { peer: peer.name, ratio: median(ratiosOf(values, peer.values)) };
  return { what, median: median(values), unit, rounds: values.length, beside, aim };
}
