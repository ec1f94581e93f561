/** The moment pointed at, as a slider along the plot, and what happened there, in words. */
import type { History } from '../data/history.ts';
import { C } from '../texts/index.ts';
import type { Band } from './bands.tsx';
import { spokenAt } from './moment-values.ts';
import { type Cluster, isAt } from './moments.tsx';
import type { PicturedRig } from './plot.tsx';
import { readMs } from './readout.tsx';
import { GUTTER } from './scales.ts';
import type { Timeline } from './timeline.ts';

export interface CursorProps {
  readonly timeline: Timeline;
  readonly rig: PicturedRig;
  readonly history: History;
  readonly bands: readonly Band[];
  readonly clusters: readonly Cluster[];
}

/** A slider's thumb stays within it: so wider, its middle comes to both ends of the plot. */
const THUMB = 16;

export function Cursor({ timeline, rig, history, bands, clusters }: CursorProps) {
  const width = timeline.plotWidth.value;
  const cursorMs = timeline.cursorMs.value;
  const columnMs = timeline.columnMs.value;
  const place = cursorMs === null ? width : Math.round((cursorMs - timeline.fromMs.value) / columnMs);
  const here = cursorMs === null ? [] : eventsAt(clusters, cursorMs, columnMs);
  const atMs = readMs(timeline);
  const spokenMs = Number.isFinite(atMs) ? atMs : timeline.extent.peek().nowMs;
  return (
    <>
      <input
        type="range"
        class="cursor-slider"
        style={{ marginLeft: `${GUTTER - THUMB / 2}px`, width: `${width + THUMB}px` }}
        aria-label={C.cursor}
        aria-valuetext={spokenAt(rig, history, bands, spokenMs, here)}
        min={0}
        max={width}
        value={place}
        onInput={({ currentTarget }) => {
          const px = Number(currentTarget.value);
          // At its end it is let go: from there on the values are those of now.
          timeline.chosenMs.value = px >= width ? null : timeline.fromMs.peek() + px * columnMs;
        }}
      />
      <ul class="moment-words">
        {cursorMs === null && <li class="quiet">{C.hint}</li>}
        {here.map((text, index) => (
          <li key={index}>{text}</li>
        ))}
      </ul>
    </>
  );
}

/** So many have room below the picture. */
const WORDS_MAX = 4;

function eventsAt(clusters: readonly Cluster[], atMs: number, columnMs: number): readonly string[] {
  const moments = clusters.filter((one) => isAt(one, atMs, columnMs)).flatMap((one) => one.moments);
  const texts = moments.slice(0, WORDS_MAX).map((moment) => `${C.at(moment.atMs)} ${moment.text}`);
  return moments.length > WORDS_MAX ? [...texts, C.more(moments.length - WORDS_MAX)] : texts;
}
