/** The store, for every component below the root. */
import { createContext } from 'preact';
import { useContext } from 'preact/hooks';
import type { Store } from '../data/store.ts';

export const StoreContext = createContext<Store | null>(null);

export function useStore(): Store {
  const store = useContext(StoreContext);
  if (store === null) throw new Error('a component stands outside the store');
  return store;
}
