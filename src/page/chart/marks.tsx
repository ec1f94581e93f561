/** Moments pointed at from above the lanes: numbered steps in one row, lettered breaches in another. */
import { type Layout, RIGHT } from './scales.ts';

export interface Mark {
  readonly atMs: number;
  /** One or two characters; what it stands for is listed beside the picture. */
  readonly label: string;
  readonly kind: 'step' | 'breach';
}

/** Marks so near to each other that they share one flag. */
export interface Flag {
  readonly x: number;
  readonly label: string;
}

const ROW_HEIGHT = 17;
const FLAG_HEIGHT = 14;
const KINDS = ['step', 'breach'] as const;
const LETTER_WIDTH = 8;
const AIR = 4;

export function marksHeight(marks: readonly Mark[]): number {
  return rowsOf(marks).length * ROW_HEIGHT;
}

export function Marks({ marks, layout }: { readonly marks: readonly Mark[]; readonly layout: Layout }) {
  return (
    <g class="marks">
      {rowsOf(marks).map(({ kind, marks: row }, index) => (
        <g key={kind} class={`flags-${kind}`}>
          {row.map((mark) => (
            <path
              key={mark.label}
              class="flag-pole"
              d={`M${layout.x(mark.atMs)} ${(index + 1) * ROW_HEIGHT - 3}V${layout.axisTop}`}
            />
          ))}
          {flagsOf(row, layout.x).map((flag) => (
            <FlagShape
              key={flag.label}
              flag={flag}
              top={index * ROW_HEIGHT}
              right={layout.plotWidth + RIGHT}
            />
          ))}
        </g>
      ))}
    </g>
  );
}

interface FlagShapeProps {
  readonly flag: Flag;
  readonly top: number;
  readonly right: number;
}

function FlagShape({ flag, top, right }: FlagShapeProps) {
  const width = widthOf(flag.label);
  const left = Math.min(flag.x, right - width);
  return (
    <>
      <rect class="flag" x={left} y={top} width={width} height={FLAG_HEIGHT} rx={2} />
      <text class="flag-word" x={left + width / 2} y={top + FLAG_HEIGHT / 2}>
        {flag.label}
      </text>
    </>
  );
}

/** Joins what would overlap: a flag begins at its first mark, "3–5" reads as three marks in a row. */
export function flagsOf(marks: readonly Mark[], x: (atMs: number) => number): readonly Flag[] {
  const groups: { readonly x: number; readonly first: string; last: string }[] = [];
  for (const { atMs, label } of [...marks].sort((a, b) => a.atMs - b.atMs)) {
    const open = groups.at(-1);
    const left = x(atMs) - widthOf(label) / 2;
    if (open !== undefined && left < open.x + widthOf(labelOf(open)) + AIR) open.last = label;
    else groups.push({ x: left, first: label, last: label });
  }
  return groups.map((group) => ({ x: group.x, label: labelOf(group) }));
}

function labelOf({ first, last }: { readonly first: string; readonly last: string }): string {
  return first === last ? first : `${first}–${last}`;
}

function widthOf(label: string): number {
  return label.length * LETTER_WIDTH + 2 * AIR;
}

function rowsOf(marks: readonly Mark[]) {
  return KINDS.map((kind) => ({ kind, marks: marks.filter((mark) => mark.kind === kind) })).filter(
    (row) => row.marks.length > 0,
  );
}
