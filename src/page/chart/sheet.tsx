/** The picture as it is saved: with all that a person needs who finds it without the page around it. */
import { render } from 'preact';
import { C, CAUTION, T } from '../texts/index.ts';
import type { RigView } from '../types.ts';
import { type Key, legendEntries, markEntries } from './legend.tsx';
import { kindsOf } from './moments.tsx';
import { type PictureProps, Still, stillOf } from './picture.tsx';
import { HatchPattern } from './plot.tsx';

export interface SheetProps extends Omit<PictureProps, 'rig' | 'width'> {
  readonly rig: RigView;
}

/** Wide enough for a slide, small enough for a sheet of paper. */
const WIDTH = 1200;
const EDGE = 16;
const LINE = 18;
/** Title, range, caution, two of keys. */
const HEAD_LINES = 5;
/** Letters of the small print, taken as wide as they get. */
const LETTER = 6.6;
const KEY = 24;

function Sheet(props: SheetProps) {
  const { rig, history, fromMs, toMs } = props;
  const picture = { ...props, width: WIDTH - 2 * EDGE, withMoments: true };
  const still = stillOf(picture);
  const moments = history.moments.slice().filter(({ atMs }) => atMs >= fromMs && atMs <= toMs);
  const keys = [...legendEntries(rig), ...markEntries(kindsOf(moments))];
  const top = EDGE + (HEAD_LINES + 1) * LINE;
  const height = Math.ceil(top + still.layout.height + EDGE);
  const line = (number: number): number => EDGE + number * LINE;
  return (
    <svg class="picture" width={WIDTH} height={height} viewBox={`0 0 ${WIDTH} ${height}`}>
      <title>{`${rig.name}: ${C.sheetRange(fromMs, toMs)}`}</title>
      <desc>{`${props.summary} ${CAUTION}`}</desc>
      <defs>
        <HatchPattern />
      </defs>
      <rect class="sheet" x={0} y={0} width={WIDTH} height={height} />
      <text class="sheet-title" x={EDGE} y={line(1)}>
        {rig.name}
      </text>
      <text class="sheet-text" x={EDGE} y={line(2)}>
        {C.sheetRange(fromMs, toMs)}. {T.setpointFrom(rig.setpoint.source)}
      </text>
      <text class="sheet-text" x={EDGE} y={line(3)}>
        {CAUTION}
      </text>
      <g transform={`translate(${EDGE} ${line(4) - 8})`}>
        {placed(keys).map(({ key, across, down }) => (
          <g key={key.word} transform={`translate(${across} ${down})`}>
            {key.mark ? (
              <g transform="translate(9 5)">
                <path class={key.look} d={key.shape} />
              </g>
            ) : (
              <path class={key.look} d={key.shape} />
            )}
            <text class="sheet-text" x={KEY} y={9}>
              {key.word}
            </text>
          </g>
        ))}
      </g>
      <g transform={`translate(${EDGE} ${top})`}>
        <Still {...picture} {...still} />
      </g>
    </svg>
  );
}

/** One after the other, and on in the next line where there is no room. */
function placed(keys: readonly Key[]) {
  let [across, down] = [0, 0];
  return keys.map((key) => {
    const width = KEY + key.word.length * LETTER + 20;
    if (across + width > WIDTH - 2 * EDGE) [across, down] = [0, down + LINE];
    const place = { key, across: Math.round(across), down };
    across += width;
    return place;
  });
}

/** Drawn once, outside the page. */
export function drawnSheet(props: SheetProps): SVGSVGElement | null {
  const holder = document.createElement('div');
  render(<Sheet {...props} />, holder);
  return holder.querySelector('svg');
}
