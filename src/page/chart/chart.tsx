/** The chart of a running bench: a stretch of its time, moved by hand or following now. */
import { useComputed, useSignal } from '@preact/signals';
import { render } from 'preact';
import { useEffect, useMemo, useRef } from 'preact/hooks';
import type { History } from '../data/history.ts';
import { isCommandedOn, outputsOf } from '../data/outputs.ts';
import { useStore } from '../parts/use-store.ts';
import { outputText, T } from '../texts/index.ts';
import type { RigView, Snapshot } from '../types.ts';
import type { Band } from './bands.tsx';
import { Cursor, type CursorProps } from './cursor.tsx';
import { Legend } from './legend.tsx';
import { drawnOf, Live } from './live.tsx';
import { clustersOf, kindsOf } from './moments.tsx';
import { Overview } from './overview.tsx';
import { Hatch, Picture } from './picture.tsx';
import { Readout } from './readout.tsx';
import { Save } from './save.tsx';
import { GUTTER, RIGHT } from './scales.ts';
import type { SheetProps } from './sheet.tsx';
import { createTimeline, type Timeline } from './timeline.ts';
import { Toolbar } from './toolbar.tsx';

/** Narrower than this, the readout stands below the lanes. */
const BESIDE_PX_MIN = 640;
const READOUT_PX = 132;

export function Chart() {
  const store = useStore();
  const timeline = useMemo(() => createTimeline(store), [store]);
  useEffect(() => {
    store.opensSinceMs.value = null;
    return timeline.stop;
  }, [store, timeline]);
  const rig = store.rig.value;
  const snapshot = store.shown.snapshot.value;
  return (
    <figure class="chart">
      <Hatch />
      {rig !== null && snapshot !== null && (
        <Body timeline={timeline} rig={rig} snapshot={snapshot} history={timeline.history.value} />
      )}
    </figure>
  );
}

interface BodyProps {
  readonly timeline: Timeline;
  readonly rig: RigView;
  readonly snapshot: Snapshot;
  readonly history: History;
}

function Body({ timeline, rig, snapshot, history }: BodyProps) {
  const frame = useRef<HTMLDivElement>(null);
  const beside = useMeasured(frame, timeline);
  const bands = bandsOf(rig, snapshot, history);
  const columnMs = timeline.columnMs.value;
  const clusters = useMemo(() => clustersOf(history.moments, columnMs), [history.moments, columnMs]);
  const kinds = useMemo(() => kindsOf(history.moments.slice()), [history.moments]);
  const parts = { timeline, rig, history, bands, clusters };
  const sheetNow = (): SheetProps => ({
    rig,
    history,
    bands,
    fromMs: Math.max(timeline.fromMs.peek(), 0),
    toMs: timeline.toMs.peek(),
    summary: summary(rig, snapshot),
  });
  usePrinted(frame, sheetNow);
  return (
    <>
      <figcaption class="chart-head">
        <h2>{T.chart}</h2>
        <Save sheetNow={sheetNow} />
      </figcaption>
      <Toolbar timeline={timeline} clusters={clusters} />
      <Legend rig={rig} kinds={kinds} />
      <div class="chart-frame" ref={frame}>
        {timeline.plotWidth.value > 0 && (
          <Running {...parts} beside={beside.value} summary={summary(rig, snapshot)} />
        )}
      </div>
      <div class="chart-printed" />
    </>
  );
}

interface RunningProps extends CursorProps {
  readonly rig: RigView;
  readonly beside: boolean;
  readonly summary: string;
}

function Running({ beside, summary: says, ...parts }: RunningProps) {
  const { timeline, rig, history, bands } = parts;
  const drawn = drawnOf(timeline, rig, history, bands.length);
  return (
    <>
      <Live {...parts} {...drawn} summary={says} />
      <Cursor {...parts} />
      <Readout {...parts} layout={drawn.layout} beside={beside} />
      <Overview timeline={timeline} history={history} setpoint={rig.setpoint.percentLfl} />
    </>
  );
}

/** Gives the plot what the frame leaves it; says whether the readout has room beside it. */
function useMeasured(element: { readonly current: HTMLElement | null }, { plotWidth }: Timeline) {
  const width = useSignal(0);
  useEffect(() => {
    if (element.current === null) return undefined;
    const observer = new ResizeObserver(([entry]) => {
      width.value = Math.floor(entry?.contentRect.width ?? 0);
      const side = width.value >= BESIDE_PX_MIN ? READOUT_PX : RIGHT;
      plotWidth.value = Math.max(0, width.value - GUTTER - side);
    });
    observer.observe(element.current);
    return () => {
      observer.disconnect();
    };
  }, [element, width, plotWidth]);
  return useComputed(() => width.value >= BESIDE_PX_MIN);
}

/** Drawn for the width of a sheet of A4; paper has no window to move. */
const PRINTED_PX = 780;

function usePrinted(frame: { readonly current: HTMLElement | null }, sheetNow: () => SheetProps) {
  useEffect(() => {
    const holder = frame.current?.parentElement?.querySelector('.chart-printed');
    if (holder === null || holder === undefined) return undefined;
    const draw = (): void => {
      render(<Picture {...sheetNow()} width={PRINTED_PX} withMoments />, holder);
    };
    const clear = (): void => {
      render(null, holder);
    };
    addEventListener('beforeprint', draw);
    addEventListener('afterprint', clear);
    return () => {
      removeEventListener('beforeprint', draw);
      removeEventListener('afterprint', clear);
    };
  });
}

/** What moves air and what must be off: the rest of the outputs stands in the ring beside it. */
function bandsOf(rig: RigView, snapshot: Snapshot, history: History): readonly Band[] {
  const outputs = outputsOf(rig).filter(
    (output) => output === 'fan' || output === 'heat' || output.includes('.'),
  );
  // Without a supervisor here, what stands at the terminals is what is known of the commands.
  const told = snapshot.supervisor === null ? history.terminals : history.commands;
  return outputs.map((output) => ({
    name: outputText(output),
    kind: 'output',
    switches: told.get(output) ?? [],
    onNow: isCommandedOn(output, snapshot),
  }));
}

function summary(rig: RigView, { world, supervisor }: Snapshot): string {
  return T.chartSummary(
    rig.sensors.map(({ id }) => {
      const reading = supervisor?.sensors[id]?.gas ?? null;
      return T.chartNow(id, world?.sensors[id]?.gas ?? null, reading);
    }),
  );
}
