/** One station of the ring: its name, what it does in a few words, and what it holds now. */
import type { ComponentChildren } from 'preact';
import { Mark } from '../parts/mark.tsx';
import { useStore } from '../parts/use-store.ts';
import { STATIONS, type StationId, T } from '../texts/index.ts';

export function Station({ id, children }: { readonly id: StationId; readonly children: ComponentChildren }) {
  const { name, says } = STATIONS[id];
  const isLit = useStore().lit.value.has(id);
  return (
    <section class={`station station-${id}`} data-lit={isLit} aria-labelledby={`station-${id}`}>
      <header class="station-head">
        <h2 id={`station-${id}`}>{name}</h2>
        <p class="quiet">{says}</p>
        {isLit && (
          <p class="lit-word">
            <Mark kind="notice" /> {T.here}
          </p>
        )}
      </header>
      {children}
    </section>
  );
}
