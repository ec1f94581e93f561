/**
 * "Who asks whom": what a controller asks of this bench, with advice; asked for anew while it is on show.
 */
import type { Got } from '../data/api.ts';
import { Mark } from '../parts/mark.tsx';
import { useAnswer } from '../parts/use-answer.ts';
import { P, T } from '../texts/index.ts';
import { BusPicture } from './bus-picture.tsx';
import type { PollReport } from './types.ts';
import { UnitTable } from './unit-table.tsx';

const EVERY_MS = 3000;

export function Polls() {
  const got = useAnswer((api) => api.pollReport(), [], EVERY_MS).value;
  return (
    <section class="polls" aria-labelledby="polls-head">
      <h2 id="polls-head">{P.title}</h2>
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
