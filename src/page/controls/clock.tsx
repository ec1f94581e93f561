/** Bench time, how fast it runs, and a hand on it. */
import { formatClock } from '../../units/format.ts';
import { blockOf } from '../parts/blocked.tsx';
import { Choice } from '../parts/choice.tsx';
import { useStore } from '../parts/use-store.ts';
import { H, T } from '../texts/index.ts';
import { Act } from './act.tsx';
import { RefusalNote } from './refusal-note.tsx';

const SPEEDS = [1, 2, 5, 10, 20] as const;
const NAME = 'speed';

export function Clock() {
  const store = useStore();
  const snapshot = store.shown.snapshot.value;
  if (snapshot === null) return null;
  const { paused, speed, stepping } = snapshot;
  const setSpeed = async (value: number): Promise<void> => {
    store.refusals.note(NAME, await store.api.clock({ speed: value }));
    store.refresh();
  };
  return (
    <div class="clock">
      <p class="clock-face">
        <span class="quiet">{T.benchTime}</span>{' '}
        <span class="figure">{formatClock(store.shown.benchNowMs.value)}</span>
        {stepping && <span class="clock-paused"> {H.stepping}</span>}
        {paused && !stepping && <span class="clock-paused"> {T.paused}</span>}
      </p>
      <Choice
        name={H.speed}
        options={SPEEDS.map((one) => ({ value: one, word: `${one}×` }))}
        chosen={speed}
        block={blockOf(store, NAME)}
        onChoose={(value) => {
          void setSpeed(value);
        }}
      />
      <div class="buttons">
        <Act
          name="pause"
          word={paused ? H.goOn : H.pause}
          weight="small"
          ask={({ api }) => api.clock({ paused: !paused })}
        />
        <Act
          name="next event"
          word={H.toNextEvent}
          weight="small"
          ask={({ api }) => api.clock({ toNextEvent: true })}
        />
      </div>
      <RefusalNote control={NAME} />
    </div>
  );
}
