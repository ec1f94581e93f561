/** From view to view, and in which units they speak. */

import { UNIT_SYSTEMS } from '../../units/shown.ts';
import { hrefOf } from '../data/view.ts';
import { Choice } from '../parts/choice.tsx';
import { useStore } from '../parts/use-store.ts';
import { T, type ViewId } from '../texts/index.ts';
import { VIEWS } from './views.ts';

export function ViewBar({ now }: { readonly now: ViewId }) {
  const { units, chooseUnits } = useStore();
  return (
    <div class="view-bar">
      <nav aria-label={T.views}>
        <ul>
          {VIEWS.map(({ id, word }) => (
            <li key={id}>
              <a href={hrefOf(id)} {...(id === now ? { 'aria-current': 'page' } : {})}>
                {word}
              </a>
            </li>
          ))}
        </ul>
      </nav>
      <Choice
        name={T.units}
        options={UNIT_SYSTEMS.map((system) => ({ value: system, word: T.unitSystems[system] }))}
        chosen={units.value}
        onChoose={chooseUnits}
      />
    </div>
  );
}
