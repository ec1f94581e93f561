/** The drills that come with the bench, each with its reason and its length. */
import { formatDuration } from '../../units/format.ts';
import { Act } from '../controls/act.tsx';
import { R } from '../texts/index.ts';
import type { DrillListing } from '../types.ts';
import { useAnswer } from './use-answer.ts';

export function DrillList() {
  const got = useAnswer((api) => api.drills(), []).value;
  if (got === null) return <p class="quiet">{R.waiting}</p>;
  if (!got.ok) return <p class="elsewhere">{got.text}</p>;
  return (
    <ul class="drill-list">
      {got.value.drills.map((drill) => (
        <Row key={drill.id} drill={drill} />
      ))}
    </ul>
  );
}

function Row({ drill }: { readonly drill: DrillListing }) {
  const { id, name, why, lengthMs, lesson, fits } = drill;
  return (
    <li class="drill" data-drill={id}>
      <h3>{name}</h3>
      <p class="quiet">
        {R.lasts(formatDuration(lengthMs))}
        {lesson && ` · ${R.lesson}`}
      </p>
      <p class="drill-why">{why}</p>
      {fits === null ? (
        <Act
          name={`play ${id}`}
          word={R.play}
          heard={name}
          weight="small"
          ask={({ api }) => api.play({ id })}
        />
      ) : (
        <p class="quiet">{R.doesNotFit(fits)}</p>
      )}
    </li>
  );
}
