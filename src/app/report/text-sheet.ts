/** How a report looks at a terminal: a width that reads well, colour where it can be shown, columns. */
import { styleText } from 'node:util';

export interface TextOptions {
  readonly colour: boolean;
  /** Columns; undefined where nobody knows, as in a pipe. */
  readonly width: number | undefined;
}

export type Format = Parameters<typeof styleText>[0];

export interface TextSheet {
  readonly width: number;
  readonly paint: (format: Format, text: string) => string;
}

/** Narrower than this sentences would be cut into single words. */
const WIDTH_MIN = 60;
/** Wider than this they are hard to read. */
const WIDTH_MAX = 110;

export function textSheet({ colour, width }: TextOptions): TextSheet {
  return {
    width: Math.min(WIDTH_MAX, Math.max(WIDTH_MIN, width ?? WIDTH_MAX)),
    paint: (format, text) => (colour ? styleText(format, text, { validateStream: false }) : text),
  };
}

/** Cells padded to columns; figures stand on their right. */
export function aligned(
  rows: readonly (readonly string[])[],
  isFigure: (column: number) => boolean = () => false,
): readonly string[] {
  const widthOf = (column: number): number => Math.max(...rows.map((row) => row[column]?.length ?? 0));
  return rows.map((row) =>
    row
      .map((cell, column) =>
        isFigure(column) ? cell.padStart(widthOf(column)) : cell.padEnd(widthOf(column)),
      )
      .join('  '),
  );
}
