/** The bus at a glance: 247 cells, each standing told by its letter and its frame as well as by its shade. */

import { P, STANDINGS } from '../texts/index.ts';
import { ADDRESSES, STANDING_ORDER, standings } from './standing.ts';
import type { PolledLine } from './types.ts';

export function BusPicture({ line }: { readonly line: PolledLine }) {
  const known = standings(line);
  const groups = STANDING_ORDER.map((standing) => ({
    standing,
    ids: ADDRESSES.filter((id) => known.get(id) === standing),
  }));
  return (
    <figure class="bus">
      <figcaption>{P.bus(line.id)}</figcaption>
      {/* The list below says the same in words and figures. */}
      <div class="bus-cells" aria-hidden="true">
        {ADDRESSES.map((id) => {
          const standing = known.get(id);
          const letter = standing === undefined ? '·' : STANDINGS[standing].letter;
          return (
            <span key={id} class={`bus-cell bus-${standing ?? 'free'}`} title={String(id)}>
              {letter}
            </span>
          );
        })}
      </div>
      <ul class="bus-legend">
        {groups.map(({ standing, ids }) => (
          <li key={standing}>
            <span class={`bus-cell bus-${standing}`} aria-hidden="true">
              {STANDINGS[standing].letter}
            </span>
            <span>
              {STANDINGS[standing].says}: {ids.length === 0 ? P.noAddresses : ids.join(', ')}
            </span>
          </li>
        ))}
      </ul>
    </figure>
  );
}
