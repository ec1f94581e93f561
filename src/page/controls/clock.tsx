/** Bench time, how fast it runs, and a hand on it. */
import { formatClock } from '../../units/format.ts';
import { blockOf } from '../parts/blocked.tsx';
import { Choice } from '../parts/choice.tsx';
import { useStore } from '../parts/use-store.ts';
import { T } from '../texts/index.ts';
import { Act } from './act.tsx';
import { RefusalNote } from './refusal-note.tsx';

const SPEEDS = [1, 2, 5, 10, 20] as const;
const NAME = 'speed';

export function Clock() {
  const store = useStore();
  const snapshot = store.shown.snapshot.value;
  if (snapshot === null) return null;
  const { paused, speed } = snapshot;
  const setSpeed = async (value: number): Promise<void> => {
    store.refusals.note(NAME, await store.api.clock({ speed: value }));
    store.refresh();
  };
  return (
    <div class="clock">
      <p class="clock-face">
        <span class="quiet">{T.benchTime}</span>{' '}
        <span class="figure">{formatClock(store.shown.benchNowMs.value)}</span>
        {paused && <span class="clock-paused"> {T.paused}</span>}
      </p>
      <Choice
        name={T.speed}
        options={SPEEDS.map((one) => ({ value: one, word: `${one}×` }))}
        chosen={speed}
        block={blockOf(store, NAME)}
        onChoose={(value) => {
          void setSpeed(value);
        }}
      />
      <Act
        name="pause"
        word={paused ? T.resume : T.pause}
        ask={({ api }) => api.clock({ paused: !paused })}
      />
      <RefusalNote control={NAME} />
    </div>
  );
}
