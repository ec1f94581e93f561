/** The chart of a running bench: a window of time chosen by the person, up to now. */
import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { History } from '../data/history.ts';
import { isCommandedOn, outputsOf } from '../data/outputs.ts';
import { Choice } from '../parts/choice.tsx';
import { useStore } from '../parts/use-store.ts';
import { outputText, T } from '../texts/index.ts';
import type { RigView, Snapshot } from '../types.ts';
import type { Band } from './bands.tsx';
import { Legend } from './legend.tsx';
import { Hatch, Picture } from './picture.tsx';

const WINDOWS_MIN = [5, 10, 15, 60] as const;
const MINUTE_MS = 60_000;

export function Chart() {
  const { rig, shown, history } = useStore();
  const minutes = useSignal<number>(10);
  const frame = useRef<HTMLDivElement>(null);
  const width = useWidth(frame);
  const snapshot = shown.snapshot.value;
  return (
    <figure class="chart">
      <figcaption class="chart-head">
        <h2>{T.chart}</h2>
        <Choice
          name={T.chartWindow}
          options={WINDOWS_MIN.map((one) => ({ value: one, word: T.minutes(one) }))}
          chosen={minutes.value}
          onChoose={(value) => {
            minutes.value = value;
          }}
        />
      </figcaption>
      <Hatch />
      {rig.value !== null && <Legend rig={rig.value} />}
      <div class="chart-frame" ref={frame}>
        {rig.value !== null && snapshot !== null && width.value > 0 && (
          <Picture
            rig={rig.value}
            history={history.value}
            bands={bandsOf(rig.value, snapshot, history.value)}
            width={width.value}
            fromMs={shown.benchNowMs.value - minutes.value * MINUTE_MS}
            toMs={shown.benchNowMs.value}
            summary={summary(rig.value, snapshot)}
          />
        )}
      </div>
    </figure>
  );
}

function useWidth(element: { readonly current: HTMLElement | null }) {
  const width = useSignal(0);
  useEffect(() => {
    if (element.current === null) return undefined;
    const observer = new ResizeObserver(([entry]) => {
      width.value = Math.floor(entry?.contentRect.width ?? 0);
    });
    observer.observe(element.current);
    return () => {
      observer.disconnect();
    };
  }, [element, width]);
  return width;
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
