/** Points of every lesson revealed so far, a row a name; to be printed, or taken along as CSV. */
import { useSignal } from '@preact/signals';
import { SCORE_MAX } from '../../lesson/index.ts';
import { saveText } from '../data/save-file.ts';
import { C } from '../texts/class.ts';
import type { Desk } from './desk.ts';
import type { ClassView } from './types.ts';

export function Scores({ room, desk }: { readonly room: ClassView; readonly desk: Desk }) {
  return (
    <section class="scores" aria-label={C.scores}>
      <h2>{C.scores}</h2>
      {room.scores.length === 0 ? (
        <p class="quiet">{C.noScores}</p>
      ) : (
        <>
          <Table scores={room.scores} />
          <p class="quiet">{C.scoresSay}</p>
          <Takeaway desk={desk} />
        </>
      )}
    </section>
  );
}

function Table({ scores }: Pick<ClassView, 'scores'>) {
  const lessons = [...new Set(scores.map(({ lesson }) => lesson))];
  const names = [...new Set(scores.map(({ seat }) => seat))];
  const points = (name: string, lesson: string) =>
    scores.findLast((score) => score.seat === name && score.lesson === lesson)?.total;
  const total = (name: string) => lessons.reduce((sum, lesson) => sum + (points(name, lesson) ?? 0), 0);
  return (
    <div class="scores-scroll">
      <table class="scores-table">
        <thead>
          <tr>
            <th scope="col">{C.seat}</th>
            {lessons.map((lesson) => (
              <th key={lesson} scope="col">
                {lesson}
              </th>
            ))}
            <th scope="col">{C.total}</th>
          </tr>
        </thead>
        <tbody>
          {names.map((name) => (
            <tr key={name}>
              <th scope="row">{name}</th>
              {lessons.map((lesson) => (
                <td key={lesson}>{points(name, lesson) ?? C.noScore}</td>
              ))}
              <td>{C.ofAnswers(total(name), SCORE_MAX * lessons.length)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}

function Takeaway({ desk }: { readonly desk: Desk }) {
  const trouble = useSignal('');
  // Fetched with the page's token: a plain link could not carry it.
  const fetchCsv = async (): Promise<void> => {
    const got = await desk.csv();
    trouble.value = got.ok ? '' : got.text;
    if (got.ok) saveText(got.value, C.csvName, 'text/csv');
  };
  return (
    <p class="takeaway buttons">
      <button type="button" onClick={() => void fetchCsv()}>
        {C.csv}
      </button>
      <button
        type="button"
        onClick={() => {
          print();
        }}
      >
        {C.print}
      </button>
      <span class="refusal" aria-live="polite">
        {trouble.value}
      </span>
    </p>
  );
}
