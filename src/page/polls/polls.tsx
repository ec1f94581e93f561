/**
 * "Who asks whom": what a controller asks of this bench, with advice; asked for anew while it is on show.
 */
import { useSignal } from '@preact/signals';
import { Act } from '../controls/act.tsx';
import type { Got } from '../data/api.ts';
import type { Store } from '../data/store.ts';
import { Mark } from '../parts/mark.tsx';
import { useAnswer } from '../parts/use-answer.ts';
import { P, T } from '../texts/index.ts';
import { BusPicture } from './bus-picture.tsx';
import type { PollReport } from './types.ts';
import { UnitTable } from './unit-table.tsx';

const EVERY_MS = 3000;

export function Polls() {
  const countings = useSignal(0);
  const got = useAnswer((api) => api.pollReport(), [countings.value], EVERY_MS).value;
  const countAnew = async ({ api }: Store): Promise<Got<unknown>> => {
    const done = await api.countPollsAnew();
    if (done.ok) countings.value += 1;
    return done;
  };
  return (
    <section class="polls" aria-labelledby="polls-head">
      <header class="view-head">
        <h2 id="polls-head">{P.title}</h2>
        {got?.ok === true && (
          <div class="view-hands">
            <Act name="countPollsAnew" word={P.countAnew} ask={countAnew} />
            <span class="quiet">{P.countAnewSays}</span>
          </div>
        )}
      </header>
      {got === null ? <p class="quiet">{T.loading}</p> : <Answer got={got} />}
    </section>
  );
}

function Answer({ got }: { readonly got: Got<PollReport> }) {
  if (!got.ok) return <p class="quiet">{got.text}</p>;
  const { advice, lines, unseen } = got.value;
  return (
    <>
      <h3>{P.advice}</h3>
      {advice.length === 0 && <p>{P.noAdvice}</p>}
      <ul class="polls-advice">
        {advice.map(({ text }) => (
          <li key={text} class="note">
            <Mark kind="warning" /> <span>{text}</span>
          </li>
        ))}
      </ul>
      {lines.map((line) => (
        <div key={line.id} class="polls-line">
          <UnitTable line={line} />
          <BusPicture line={line} />
        </div>
      ))}
      <h3>{P.unseen}</h3>
      <ul class="polls-unseen quiet">
        {unseen.map((text) => (
          <li key={text}>{text}</li>
        ))}
      </ul>
    </>
  );
}
