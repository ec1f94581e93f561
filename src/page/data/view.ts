/** Which view is on show: the page's address says so after its hash, so that a view can be linked to. */
import { type ReadonlySignal, signal } from '@preact/signals';

const PREFIX = '#/';

/** An address that names no known view shows the first; the hash of a skip link changes nothing. */
export function followView<Id extends string>(ids: readonly [Id, ...Id[]]): ReadonlySignal<Id> {
  const named = (): Id | null => {
    const { hash } = location;
    if (hash === '') return ids[0];
    return hash.startsWith(PREFIX) ? (ids.find((id) => hash === PREFIX + id) ?? ids[0]) : null;
  };
  const view = signal(named() ?? ids[0]);
  addEventListener('hashchange', () => {
    view.value = named() ?? view.value;
  });
  return view;
}

export function hrefOf(id: string): string {
  return PREFIX + id;
}
