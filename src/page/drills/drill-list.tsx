/** The drills and lessons that come with the bench, each with its reason and length; a way to find one. */
import { useSignal } from '@preact/signals';
import { useId } from 'preact/hooks';
import { formatDuration } from '../../units/format.ts';
import { Entry } from '../controls/field.tsx';
import { useAnswer } from '../parts/use-answer.ts';
import { R, T } from '../texts/index.ts';
import type { DrillListing } from '../types.ts';
import { FreshStart } from './fresh-start.tsx';
import { playThenShow } from './on-now.tsx';

export function DrillList() {
  const sought = useSignal('');
  const got = useAnswer((api) => api.drills(), []).value;
  if (got === null) return <p class="quiet drill-groups">{T.loading}</p>;
  if (!got.ok) return <p class="elsewhere drill-groups">{got.text}</p>;
  const all = got.value.drills;
  const found = all.filter((drill) => isSought(drill, sought.value));
  return (
    <div class="drill-groups">
      <div class="drill-find">
        <Entry label={R.find} value={sought} of={[]} />
        <p class="quiet" role="status">
          {sought.value.trim() !== '' && R.found(found.length, all.length)}
        </p>
      </div>
      <Group name={R.drills} drills={found.filter(({ lesson }) => !lesson)} />
      <Group name={R.lessons} drills={found.filter(({ lesson }) => lesson)} />
    </div>
  );
}

function isSought({ name, why }: DrillListing, sought: string): boolean {
  return `${name} ${why}`.toLowerCase().includes(sought.trim().toLowerCase());
}

interface GroupProps {
  readonly name: string;
  readonly drills: readonly DrillListing[];
}

function Group({ name, drills }: GroupProps) {
  const id = useId();
  if (drills.length === 0) return null;
  return (
    <section class="drill-group" aria-labelledby={id}>
      <h3 id={id}>{name}</h3>
      <ul class="drill-list">
        {drills.map((drill) => (
          <Row key={drill.id} drill={drill} />
        ))}
      </ul>
    </section>
  );
}

function Row({ drill }: { readonly drill: DrillListing }) {
  const { id, name, why, lengthMs, fits } = drill;
  return (
    <li class="drill" data-drill={id}>
      <h4>{name}</h4>
      <p class="quiet">{R.lasts(formatDuration(lengthMs))}</p>
      <p class="drill-why">{why}</p>
      {fits === null ? (
        <FreshStart
          name={`play ${id}`}
          word={R.play}
          heard={name}
          weight="small"
          ask={({ api }) => playThenShow(api, { id })}
        />
      ) : (
        <p class="quiet">{R.doesNotFit(fits)}</p>
      )}
    </li>
  );
}
