/** One station of the ring: its name, what it does in a few words, and what it holds now. */
import type { ComponentChildren } from 'preact';
import { STATIONS, type StationId } from '../texts/index.ts';

export function Station({ id, children }: { readonly id: StationId; readonly children: ComponentChildren }) {
  const { name, says } = STATIONS[id];
  return (
    <section class={`station station-${id}`} aria-labelledby={`station-${id}`}>
      <header class="station-head">
        <h2 id={`station-${id}`}>{name}</h2>
        <p class="quiet">{says}</p>
      </header>
      {children}
    </section>
  );
}
