/** Buttons for all that hands and keys do to the timeline. */
import { Choice } from '../parts/choice.tsx';
import { C } from '../texts/index.ts';
import { closer, earlier, later, toFirst, toNow, wider } from './gestures.ts';
import type { Cluster } from './moments.tsx';
import type { Timeline } from './timeline.ts';

const SPANS_MS = [1, 5, 10, 60].map((minutes) => minutes * 60_000);
/** Radio buttons have numbers; this stands for infinity. */
const ALL = -1;

interface ToolbarProps {
  readonly timeline: Timeline;
  readonly clusters: readonly Cluster[];
}

export function Toolbar({ timeline, clusters }: ToolbarProps) {
  const button = (name: string, sign: string, act: (timeline: Timeline) => void) => (
    <button
      type="button"
      class="sign"
      aria-label={name}
      title={name}
      onClick={() => {
        act(timeline);
      }}
    >
      {sign}
    </button>
  );
  return (
    <div class="chart-tools">
      <Choice
        name={C.shown}
        options={[...SPANS_MS.map((value) => ({ value, word: C.spans(value) })), { value: ALL, word: C.all }]}
        chosen={timeline.showsAll.value ? ALL : timeline.spanMs.value}
        onChoose={(value) => {
          const spanMs = value === ALL ? Number.POSITIVE_INFINITY : value;
          timeline.set((view) => ({ ...view, spanMs }));
        }}
      />
      <fieldset class="signs">
        <legend class="only-heard">{C.move}</legend>
        {button(C.first, '⇤', toFirst)}
        {button(C.earlier, '←', earlier)}
        {button(C.longer, '−', wider)}
        {button(C.shorter, '+', closer)}
        {button(C.later, '→', later)}
        <button
          type="button"
          class="follow"
          aria-pressed={timeline.following.value}
          onClick={() => {
            toNow(timeline);
          }}
        >
          {C.follow}
        </button>
      </fieldset>
      <fieldset class="signs">
        <legend class="only-heard">{C.events}</legend>
        {button(C.eventBefore, '◂◆', () => {
          stepTo(timeline, clusters, -1);
        })}
        {button(C.eventAfter, '◆▸', () => {
          stepTo(timeline, clusters, 1);
        })}
      </fieldset>
    </div>
  );
}

/** The next mark in a direction, seen from the chosen moment, or from the end of the window. */
function stepTo(timeline: Timeline, clusters: readonly Cluster[], way: 1 | -1): void {
  const hereMs = timeline.chosenMs.peek() ?? timeline.toMs.peek() + 1;
  const next =
    way > 0
      ? clusters.find(({ fromMs }) => fromMs > hereMs)
      : clusters.findLast(({ fromMs }) => fromMs < hereMs);
  if (next !== undefined) timeline.goTo(next.fromMs);
}
