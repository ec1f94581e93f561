/** Bench time, how fast it runs, and a hand on it. */
import { formatClock } from '../../units/format.ts';
import { blockOf } from '../parts/blocked.tsx';
import { Choice } from '../parts/choice.tsx';
import { useStore } from '../parts/use-store.ts';
import { H, T } from '../texts/index.ts';
import type { Snapshot } from '../types.ts';
import { Act } from './act.tsx';
import { RefusalNote } from './refusal-note.tsx';

const SPEEDS = [1, 2, 5, 10, 20] as const;
const NAME = 'speed';

/** Where the sensors run elsewhere the time of their bus goes on: nothing of it can be set here. */
export function Clock() {
  const snapshot = useStore().shown.snapshot.value;
  if (snapshot === null) return null;
  return (
    <div class="clock">
      <ClockFace snapshot={snapshot} />
      {snapshot.world !== null && <ClockHands snapshot={snapshot} />}
    </div>
  );
}

interface OfSnapshot {
  readonly snapshot: Snapshot;
}

function ClockFace({ snapshot: { paused, stepping, speed, world } }: OfSnapshot) {
  const { shown } = useStore();
  return (
    <p class="clock-face">
      <span class="quiet">{T.benchTime}</span>{' '}
      <span class="figure">{formatClock(shown.benchNowMs.value)}</span>
      {stepping && <span class="clock-paused"> {H.stepping}</span>}
      {paused && !stepping && <span class="clock-paused"> {T.paused}</span>}
      {world === null && speed !== 1 && <span class="clock-paused"> {H.times(speed)}</span>}
    </p>
  );
}

function ClockHands({ snapshot: { paused, speed } }: OfSnapshot) {
  const store = useStore();
  const setSpeed = async (value: number): Promise<void> => {
    store.refusals.note(NAME, await store.api.clock({ speed: value }));
    store.refresh();
  };
  return (
    <>
      <Choice
        name={H.speed}
        options={SPEEDS.map((one) => ({ value: one, word: H.times(one) }))}
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
    </>
  );
}
