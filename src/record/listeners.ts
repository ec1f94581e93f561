/**
 * Tells listeners in the order of telling, even where a listener causes the next telling itself. One that
 * throws harms neither the teller nor the others.
 */

export interface Listeners<Item> {
  /** The returned function takes the listener back. */
  add(listener: (item: Item) => void): () => void;
  tell(item: Item): void;
}

export function orderedListeners<Item>(failed: (error: unknown) => void): Listeners<Item> {
  const listeners = new Set<(item: Item) => void>();
  const untold: Item[] = [];
  let telling = false;

  const tellOne = (item: Item): void => {
    for (const listener of [...listeners]) {
      try {
        listener(item);
      } catch (error) {
        failed(error);
      }
    }
  };
  return {
    add: (listener) => {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
    tell: (item) => {
      untold.push(item);
      if (telling) return;
      telling = true;
      for (let next = untold.shift(); next !== undefined; next = untold.shift()) tellOne(next);
      telling = false;
    },
  };
}
